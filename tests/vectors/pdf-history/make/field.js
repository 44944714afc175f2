// mutool run field.js IN OUT INDEX VALUE OPTIONS: what a text field of page 1 holds.
var doc = new PDFDocument(scriptArgs[0])
var page = doc.loadPage(0)
var field = page.getWidgets()[Number(scriptArgs[2])]
field.setTextValue(scriptArgs[3])
field.update()
doc.save(scriptArgs[1], scriptArgs[4] || 'incremental')
