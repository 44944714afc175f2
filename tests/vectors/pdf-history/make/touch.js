// mutool run touch.js IN OUT KEY VALUE OPTIONS: the information of the file alone.
var doc = new PDFDocument(scriptArgs[0])
var info = doc.getTrailer().get('Info')
info.put(scriptArgs[2], doc.newString(scriptArgs[3]))
doc.save(scriptArgs[1], scriptArgs[4] || 'incremental')
