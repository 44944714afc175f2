/** Revisions and active content of files made by pdf-lib and qpdf, with updates written out by hand. Invented words. */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { PDFDocument } from '@cantoo/pdf-lib'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { readPdf } from '../../../../src/reading/pdf.ts'
import { compareParts, listActive, listMarks, listParts } from '../../../../src/seal/pdf/history/index.ts'
import { openPdf } from '../../../../src/seal/pdf/reading/file.ts'
import { find, makePaper, nextNumber, put, setField, update } from '../reading/signed-pdf.ts'

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-history-'))
})
afterAll(() => rmSync(folder, { recursive: true }))

function qpdf(pdf: Uint8Array, ...options: string[]): Uint8Array {
  const [from, to] = [join(folder, 'in.pdf'), join(folder, 'out.pdf')]
  writeFileSync(from, pdf)
  execFileSync('qpdf', [...options, from, to])
  return new Uint8Array(readFileSync(to))
}

const hint = { path: 'a.pdf', media: 'application/pdf' }
async function compareFirst(pdf: Uint8Array) {
  const parts = listParts(pdf) ?? []
  const [first, last] = [parts[0], parts.at(-1)]
  if (first === undefined || last === undefined) throw new Error('no parts')
  const [one, other] = await Promise.all([readPdf(pdf.slice(0, first.end), hint), readPdf(pdf, hint)])
  return compareParts(first, last, { pages: one.pages, facts: {} }, { pages: other.pages, facts: {} })
}

const countParts = (pdf: Uint8Array) => listParts(pdf)?.length ?? 0

describe('revisions', () => {
  test('one for a plain file, whatever its cross-references are', async () => {
    expect(countParts(await makePaper())).toBe(1)
    expect(countParts(await makePaper({ objectStreams: true }))).toBe(1)
  })

  test('a linearised file has two ends and one revision (ISO 32000-1, Annex F)', async () => {
    const linear = qpdf(await makePaper({ pages: 2 }), '--linearize')
    expect(Buffer.from(linear).toString('latin1').match(/%%EOF/g)).toHaveLength(2)
    expect(countParts(linear)).toBe(1)
    expect(countParts(qpdf(await makePaper({ pages: 2 }), '--linearize', '--object-streams=generate'))).toBe(1)
    const [number, page] = find(linear, 'Page')
    expect(countParts(update(linear, new Map([[number, page]])))).toBe(2)
  })

  test('the ends of an attached file are none of this one', async () => {
    const inner = await makePaper({ pages: 3 })
    const document = await PDFDocument.load(await makePaper())
    await document.attach(update(inner, new Map()), 'inner.pdf')
    const outer = qpdf(await document.save(), '--stream-data=uncompress')
    expect(Buffer.from(outer).toString('latin1').match(/%%EOF/g)?.length).toBeGreaterThan(2)
    expect(countParts(outer)).toBe(1)
  })

  test('each update ends one; what does not open, and bytes behind the end, do not', async () => {
    const first = await makePaper({ fields: { result: 'failed' } })
    const third = setField(setField(first, 'result', 'open'), 'result', 'passed')
    expect(listParts(third)?.map(({ end }) => end)).toHaveLength(3)
    expect(listParts(third)?.[0]?.end).toBeGreaterThanOrEqual(first.length)
    const padded = new Uint8Array(Buffer.concat([third, Buffer.from('startxref\n9\n%%EOF\n')]))
    expect(countParts(padded)).toBeLessThanOrEqual(3)
    expect(listParts(new Uint8Array(50))).toBeNull()
  })

  test('many are told by the first and the newest', async () => {
    let pdf = await makePaper({ fields: { result: '0' } })
    for (let number = 1; number <= 40; number++) pdf = setField(pdf, 'result', String(number))
    expect(countParts(pdf)).toBe(24)
  })
})

describe('what differs', () => {
  test('words that are drawn otherwise, with both readings', async () => {
    const paper = qpdf(await makePaper(), '--qdf', '--object-streams=disable')
    const text = Buffer.from(paper).toString('latin1')
    const [, number = '', body = ''] = /(\d+) 0 obj\n(<<\n {2}\/Length[\s\S]*?endstream)/.exec(text) ?? []
    const changed = body.replace('offset 0.4', 'offset 9.4')
    expect(changed).not.toBe(body)
    const [difference, ...others] = await compareFirst(update(paper, new Map([[Number(number), changed]])))
    expect(others).toEqual([])
    expect(difference).toMatchObject({ kind: 'words', replaces: true })
    expect([difference?.before?.text, difference?.after?.text]).toEqual([
      '1 aligned, offset 0.4',
      '1 aligned, offset 9.4',
    ])
  })

  test('a field that was changed, and one that was filled in', async () => {
    const paper = await makePaper({ fields: { result: 'failed', note: '' } })
    expect(await compareFirst(setField(paper, 'result', 'passed'))).toMatchObject([
      { kind: 'field', before: { text: 'failed' }, after: { text: 'passed' } },
    ])
    expect(await compareFirst(setField(paper, 'note', 'done'))).toMatchObject([{ kind: 'field', wasEmpty: true }])
  })

  test('a filled square over words, and the words it lies on', async () => {
    const paper = await makePaper()
    const [number, page] = find(paper, 'Page')
    const square = nextNumber(paper)
    const marked = update(
      paper,
      new Map([
        [number, put(page, 'Annots', `[${square} 0 R]`)],
        [square, '<< /Type /Annot /Subtype /Square /Rect [150 145 200 165] /IC [1 1 1] /F 4 >>'],
      ]),
    )
    expect(await compareFirst(marked)).toMatchObject([
      { kind: 'mark', isOpaque: true, before: { text: expect.stringContaining('degrees') } },
    ])
    const { pages } = await readPdf(marked, hint)
    expect(listMarks(openPdf(marked), { pages, facts: {} })).toMatchObject([{ subtype: 'Square', isOpaque: true }])
  })

  test('a page turned or drawn over, in no words', async () => {
    const paper = await makePaper()
    const [number, page] = find(paper, 'Page')
    const lines = nextNumber(paper)
    const [, contents = ''] = /\/Contents \[ (\d+ 0 R)/.exec(page) ?? []
    const drawn = update(
      paper,
      new Map([
        [number, put(page, 'Contents', `[${contents} ${lines} 0 R]`)],
        [lines, '<< /Length 24 >>\nstream\n20 20 100 30 re f 0 0 m \nendstream'],
      ]),
    )
    expect((await compareFirst(drawn)).map(({ kind }) => kind)).toEqual(['drawing'])
  })
})

describe('what can act', () => {
  const withCatalog = (pdf: Uint8Array, key: string, value: string) => {
    const [number, catalog] = find(pdf, 'Catalog')
    return update(pdf, new Map([[number, put(catalog, key, value)]]))
  }
  const list = (pdf: Uint8Array) => listActive(openPdf(pdf)).map(({ kind, text, where }) => [kind, text, where])

  test.each([
    ['<< /S /JavaScript /JS (app.alert\\(1\\)) >>', 'script', 'app.alert(1)'],
    ['<< /S /Launch /F (run.exe) >>', 'launch', 'run.exe'],
    ['<< /S /Launch /Win << /F (run.exe) >> >>', 'launch', 'run.exe'],
    ['<< /S /SubmitForm /F << /FS /URL /F (http://example.invalid/) >> >>', 'send', 'http://example.invalid/'],
    ['<< /S /GoToR /F (other.pdf) /D [0 /Fit] >>', 'elsewhere', 'other.pdf'],
    ['<< /S /URI /URI (http://example.invalid/) >>', 'other', 'http://example.invalid/'],
  ])('%s when the file is opened', async (action, kind, text) => {
    expect(list(withCatalog(await makePaper(), 'OpenAction', action))).toEqual([
      [kind, text, 'when the file is opened'],
    ])
  })

  test('going to a page of the file is nothing', async () => {
    expect(list(withCatalog(await makePaper(), 'OpenAction', '[3 0 R /Fit]'))).toEqual([])
    expect(list(withCatalog(await makePaper(), 'OpenAction', '<< /S /GoTo /D [3 0 R /Fit] >>'))).toEqual([])
  })

  test('an action behind another, in object streams', async () => {
    const chained = withCatalog(
      await makePaper(),
      'OpenAction',
      '<< /S /GoTo /D [3 0 R /Fit] /Next [<< /S /JavaScript /JS (this.print\\(\\)) >>] >>',
    )
    const packed = qpdf(chained, '--object-streams=generate')
    expect(Buffer.from(packed).includes('JavaScript')).toBe(false)
    expect(list(packed)).toEqual([['script', 'this.print()', 'when the file is opened']])
  })

  test('attached files, with what they are to the paper', async () => {
    const document = await PDFDocument.load(await makePaper())
    await document.attach(Buffer.from('<a/>'), 'invoice.xml', {
      mimeType: 'text/xml',
      afRelationship: 'Alternative' as never,
    })
    expect(listActive(openPdf(await document.save()))).toMatchObject([
      { kind: 'file', text: 'invoice.xml', where: 'attached to the file', relation: 'Alternative', media: 'text/xml' },
    ])
  })
})
