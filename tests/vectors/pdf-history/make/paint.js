// mutool run paint.js IN OUT "x y w h" WORDS OPTIONS: a white rectangle and words over it, in a content stream of its own.
var doc = new PDFDocument(scriptArgs[0])
var page = doc.findPage(0)
var b = scriptArgs[2].split(' ').map(Number)
var font = doc.addObject({ Type: 'Font', Subtype: 'Type1', BaseFont: 'Helvetica', Encoding: 'WinAnsiEncoding' })
var res = page.getInheritable ? page.getInheritable('Resources') : page.get('Resources')
if (!res || res.isNull()) {
  res = doc.newDictionary()
  page.put('Resources', res)
}
var fonts = res.get('Font')
if (!fonts || fonts.isNull()) {
  fonts = doc.newDictionary()
  res.put('Font', fonts)
}
fonts.put('Ovr', font)
var words = scriptArgs[3] ? ' BT 0 g /Ovr 10 Tf ' + b[0] + ' ' + (b[1] + 3) + ' Td (' + scriptArgs[3] + ') Tj ET' : ''
var own = doc.addStream('q 1 g ' + b.join(' ') + ' re f Q q' + words + ' Q', {})
var before = doc.addStream('q', {}),
  after = doc.addStream('Q', {})
var list = doc.newArray()
list.push(before)
var old = page.get('Contents')
if (old.isArray()) for (var i = 0; i < old.length; i++) list.push(old.get(i))
else list.push(old)
list.push(after)
list.push(own)
page.put('Contents', list)
doc.save(scriptArgs[1], scriptArgs[4] || 'incremental')
