// mutool run drop.js IN OUT: page 1 taken out, as an update.
var doc = new PDFDocument(scriptArgs[0])
doc.deletePage(0)
doc.save(scriptArgs[1], 'incremental')
