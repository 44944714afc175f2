// mutool run mark.js IN OUT SUBTYPE "x0 y0 x1 y1" CONTENTS OPTIONS: an annotation over page 1, from its top left.
var doc = new PDFDocument(scriptArgs[0])
var page = doc.loadPage(0)
var box = scriptArgs[3].split(' ').map(Number)
var annot = page.createAnnotation(scriptArgs[2])
if (scriptArgs[2] === 'Ink')
  annot.setInkList([
    [
      [box[0], box[1]],
      [box[2], box[3]],
      [box[2], box[1]],
    ],
  ])
else annot.setRect(box)
if (scriptArgs[4]) annot.setContents(scriptArgs[4])
if (scriptArgs[2] === 'Square') {
  annot.setInteriorColor([1, 1, 1])
  annot.setColor([1, 1, 1])
}
if (scriptArgs[2] === 'FreeText') {
  annot.setColor([1, 1, 1])
  annot.setDefaultAppearance('Helv', 10, [0, 0, 0])
}
annot.update()
doc.save(scriptArgs[1], scriptArgs[5] || 'incremental')
