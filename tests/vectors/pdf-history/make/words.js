// mutool run words.js IN OUT FROM TO OPTIONS: other words in the content of page 1.
var doc = new PDFDocument(scriptArgs[0])
var contents = doc.findPage(0).get('Contents')
if (contents.isArray()) contents = contents.get(0)
var bytes = contents.readStream(),
  text = ''
for (var i = 0; i < bytes.length; i++) text += String.fromCharCode(bytes[i])
function hex(s) {
  var r = ''
  for (var i = 0; i < s.length; i++) {
    var h = s.charCodeAt(i).toString(16)
    r += (h.length < 2 ? '0' : '') + h
  }
  return r.toUpperCase()
}
var made = text.split(scriptArgs[2]).join(scriptArgs[3]).split(hex(scriptArgs[2])).join(hex(scriptArgs[3]))
if (made === text) {
  print('words not found')
  quit(1)
}
var buf = new Buffer()
for (var j = 0; j < made.length; j++) buf.writeByte(made.charCodeAt(j))
contents.writeStream(buf)
doc.save(scriptArgs[1], scriptArgs[4] || 'incremental')
