import { describe, expect, test } from 'vitest'
import { compareSubmissions } from '../../src/compare/compare.ts'
import type { Comparison } from '../../src/compare/comparison.ts'
import { renderComparisonPage } from '../../src/report/comparison-page.ts'
import { renderComparison } from '../../src/report/comparison-text.ts'
import { makeDate } from '../checks/packet-builder.ts'
import { listErrors, validateComparison } from '../findings/schemas.ts'
import { readPage } from '../report/html-page.ts'
import { makeFinding } from '../report/invented.ts'
import { type File, makeCode, makeFile, makePlace, makeSubmission } from './invented.ts'

const scan = (file: string, codes = [makeCode('C1A67', 'Front camera')], rest = {}): File =>
  makeFile(file, 'pre-scan', [['Pre-repair scan', ...codes.map(({ code }) => `${code} stored`), 'end of scan']], {
    codes,
    ...rest,
  })

function compare(before: Parameters<typeof makeSubmission>, after: Parameters<typeof makeSubmission>): Comparison {
  const comparison = compareSubmissions(makeSubmission(...before), makeSubmission(...after))
  expect(listErrors(validateComparison, comparison)).toEqual([])
  return comparison
}

const filesOf = ({ files }: Comparison) =>
  files.map(({ change, before, after, matchedBy }) => [change, before?.file ?? null, after?.file ?? null, matchedBy])
const factsOf = ({ facts }: Comparison) =>
  facts.map(({ change, fact, about, before, after }) => [
    change,
    fact,
    about,
    before?.text ?? null,
    after?.text ?? null,
  ])
const findingsOf = ({ findings }: Comparison) =>
  findings.map(({ change, check, before, after }) => [change, check, before?.verdict ?? null, after?.verdict ?? null])

describe('files', () => {
  test('the same twice: nothing', () => {
    const finding = makeFinding({ verdict: 'warn' })
    const comparison = compare([[scan('pre.pdf')], [finding]], [[scan('pre.pdf')], [finding]])
    expect(comparison).toMatchObject({ identical: true, files: [], facts: [], sameFiles: 1, factsLeft: 0 })
    expect(findingsOf(comparison)).toEqual([['unchanged', 'vin-agrees', 'warn', 'warn']])
  })

  test('renamed, and two that changed names with each other, are known by their digests', () => {
    expect(filesOf(compare([[scan('pre.pdf')]], [[scan('scan 1.pdf')]]))).toEqual([
      ['renamed', 'pre.pdf', 'scan 1.pdf', 'digest'],
    ])
    const [a, b] = [scan('a.pdf'), scan('b.pdf', [makeCode('C1B22', 'Front radar')])]
    const swapped = [scan('b.pdf'), scan('a.pdf', [makeCode('C1B22', 'Front radar')])]
    expect(filesOf(compare([[a, b]], [swapped]))).toEqual([
      ['renamed', 'a.pdf', 'b.pdf', 'digest'],
      ['renamed', 'b.pdf', 'a.pdf', 'digest'],
    ])
  })

  test('renamed and changed is one pair: by the words of both, or as the only one of its kind', () => {
    const two = [makeCode('C1A67', 'Front camera'), makeCode('U0100', 'Gateway')]
    expect(filesOf(compare([[scan('pre.pdf', two)]], [[scan('pre v2.pdf')]]))).toEqual([
      ['renamed-and-changed', 'pre.pdf', 'pre v2.pdf', 'words'],
    ])
    const [one, other] = [makeFile('1.pdf', 'invoice', [['x', 'y']]), makeFile('2.pdf', 'invoice', [['a', 'b']])]
    expect(filesOf(compare([[one]], [[other]]))).toEqual([['renamed-and-changed', '1.pdf', '2.pdf', 'kind']])
  })

  test('of a kind that a packet may hold many of, nothing is taken for one without a sign', () => {
    const [one, other] = [
      makeFile('1.pdf', 'calibration', [['x', 'y']]),
      makeFile('2.pdf', 'calibration', [['a', 'b']]),
    ]
    expect(filesOf(compare([[one]], [[other]]))).toEqual([
      ['removed', '1.pdf', null, null],
      ['added', null, '2.pdf', null],
    ])
  })

  test('that could not be opened is compared with nothing', () => {
    const locked = makeFile('pre.pdf', 'other', [], { sha256: '' })
    const comparison = compare([[scan('pre.pdf')]], [[locked]])
    expect(filesOf(comparison)).toEqual([['not-compared', 'pre.pdf', 'pre.pdf', 'name']])
    expect(comparison.identical).toBe(false)
    expect(comparison.files[0]?.words).toBeNull()
  })

  test('saved anew with the same words: changed, and no word of it', () => {
    const resaved = scan('pre.pdf')
    resaved.facts = { ...resaved.facts, sha256: 'ab'.repeat(32) }
    const comparison = compare([[scan('pre.pdf')]], [[resaved]])
    expect(comparison.files[0]).toMatchObject({ change: 'changed', words: { state: 'same', pages: [] } })
    expect(comparison.facts).toEqual([])
  })

  test('packet.yaml is a file, and what it declares are facts', () => {
    const [before, after] = [makeSubmission([]), makeSubmission([])]
    const place = { file: 'packet.yaml', page: 1, box: [1, 2, 9, 2] as const, text: 'zone: …' }
    const declare = (zone: string) => ({
      sha256: zone.length.toString().repeat(32).padStart(64, '0').slice(0, 64),
      bytes: 20,
      declared: { zone, places: { zone: place } },
      lines: [{ page: 1, box: [1, 1, 9, 1] as const, text: `zone: ${zone}` }],
    })
    const comparison = compareSubmissions(
      { ...before, declaration: declare('America/Denver') },
      { ...after, declaration: declare('America/Chicago') },
    )
    expect(listErrors(validateComparison, comparison)).toEqual([])
    expect(factsOf(comparison)).toEqual([['changed', 'zone', '', 'America/Denver', 'America/Chicago']])
    expect(comparison.facts[0]?.before?.places).toEqual([place])
    expect(comparison.files[0]?.words?.pages[0]?.changes[0]).toMatchObject({
      before: { text: 'America/Denver' },
      after: { text: 'America/Chicago' },
    })
  })
})

describe('facts', () => {
  const change = (before: Parameters<typeof makeFile>[3], after: Parameters<typeof makeFile>[3]) =>
    factsOf(
      compare(
        [[makeFile('a.pdf', 'calibration', [['a']], before)]],
        [[makeFile('a.pdf', 'calibration', [['b']], after)]],
      ),
    )

  test('a code is known by its number and module, wherever it stands in the list', () => {
    const [a, b] = [makeCode('C1A67', 'Front camera'), makeCode('U0100', 'Gateway')]
    expect(change({ codes: [a, b] }, { codes: [{ ...b, status: 'active' }] })).toEqual([
      ['changed', 'codes.status', 'U0100-54, Gateway', 'stored', 'active'],
      ['removed', 'codes', 'C1A67-54, Front camera', 'C1A67-54, stored, Front camera', null],
    ])
    expect(change({ codes: [a, b] }, { codes: [b, a] })).toEqual([])
  })

  test('a calibration is known by sensor, position and method, a line of work by its text', () => {
    const radar = { sensor: 'corner-radar', position: 'left', method: 'static', outcome: 'completed' } as const
    const camera = { sensor: 'front-camera', position: null, method: 'dynamic', outcome: 'failed' } as const
    expect(
      change({ calibrations: [radar, camera] }, { calibrations: [{ ...camera, outcome: 'completed' }, radar] }),
    ).toEqual([['changed', 'calibrations.outcome', 'front camera, dynamic', 'failed', 'completed']])
    const work = (text: string, amount: number) => ({ text, amount, calls: [], billed: true, kind: 'other' as const })
    expect(
      change(
        { operations: [work('Front camera calibration, static', 295), work('Windshield: replace', 600)] },
        { operations: [work('Windshield: replace', 684.5)] },
      ),
    ).toEqual([
      ['changed', 'operations.amount', 'Windshield: replace', '600.00', '684.50'],
      ['removed', 'operations', 'Front camera calibration, static', 'Front camera calibration, static, 295.00', null],
    ])
  })

  // 1 mi is 1609.344 m and 1 in is 25.4 mm: international yard and pound agreement, 1959.
  test.each([
    [{ odometer: { value: 30000, unit: 'mi' } }, { odometer: { value: 48280, unit: 'km' } }, 0],
    [{ odometer: { value: 30000, unit: 'mi' } }, { odometer: { value: 48290, unit: 'km' } }, 1],
    [{ odometer: { value: 30000, unit: 'mi' } }, { odometer: { value: 30000, unit: 'km' } }, 1],
    [{ vin: '1zzte5t11nb000421' }, { vin: '1ZZTE5T11NB000421' }, 0],
    [{ technician: 'Della  Farrow' }, { technician: 'DELLA FARROW' }, 0],
    [{ technician: 'Della Farrow' }, { technician: 'Ola Brandt' }, 1],
    [{ jobNumber: '12' }, {}, 1],
    [
      { date: makeDate('2026-03-14T14:05-06:00') },
      { date: { ...makeDate('2026-03-14T14:05-06:00'), text: '2:05 PM' } },
      0,
    ],
    [{ date: makeDate('2026-03-14T14:05-06:00') }, { date: makeDate('2026-03-14T20:05Z') }, 0],
    [{ date: makeDate('2026-03-14T14:05') }, { date: makeDate('2026-03-14T14:06') }, 1],
  ] as const)('%j against %j: %i changes', (before, after, number) => {
    expect(change(before as object, after as object)).toHaveLength(number)
    expect(change(after as object, before as object)).toHaveLength(number)
  })

  test('values in another unit are the same where they print the same length', () => {
    const values = (value: number, unit: string) => ({
      alignment: { outcome: 'completed' as const, values: [{ name: 'Offset', value, unit, stated: null }] },
    })
    expect(change(values(1, 'in'), values(25.4, 'mm'))).toEqual([])
    expect(change(values(1.0, 'mm'), values(1.2, 'mm'))).toEqual([
      ['changed', 'alignment.values.value', 'Offset', '1 mm', '1.2 mm'],
    ])
  })

  test('the number of the vehicle changes once, with both places', () => {
    const facts = (vin: string) => ({
      vin,
      vins: [{ value: vin, evidence: [makePlace(vin)] }],
      evidence: { vin: [makePlace(vin)] },
    })
    const comparison = compare(
      [[makeFile('a.pdf', 'calibration', [['a']], facts('1ZZTE5T11NB000421'))]],
      [[makeFile('a.pdf', 'calibration', [['b']], facts('1ZZTE5T11NB000427'))]],
    )
    expect(factsOf(comparison)).toEqual([['changed', 'vin', '', '1ZZTE5T11NB000421', '1ZZTE5T11NB000427']])
    expect(comparison.facts[0]?.before).toMatchObject({
      file: 'a.pdf',
      path: 'vin',
      places: [{ page: 1, file: 'a.pdf' }],
    })
    expect(comparison.facts[0]?.after?.places[0]?.text).toBe('1ZZTE5T11NB000427')
  })

  test('more than can be read are counted', () => {
    const codes = Array.from({ length: 1200 }, (_, at) => makeCode(`C${at.toString(16).padStart(4, '0')}`, 'Gateway'))
    const comparison = compare([[scan('pre.pdf', codes)]], [[scan('pre.pdf', [])]])
    expect(comparison.facts).toHaveLength(1000)
    expect(comparison.factsLeft).toBe(200)
  })
})

describe('findings', () => {
  const file = (vin: string): File =>
    makeFile('a.pdf', 'calibration', [[vin]], {
      vin,
      technician: vin.slice(-3),
      evidence: { vin: [makePlace(vin)], technician: [makePlace('elsewhere', 2)] },
    })
  const about = (text: string) => [{ file: 'a.pdf', ...makePlace(text) }]

  test('settled, with the changed fact that it rested on named first', () => {
    const fails = makeFinding({ evidence: about('1ZZ'), message: 'one-character', data: { vin: '1ZZ' } })
    const passes = makeFinding({ evidence: about('1ZY'), message: 'same', verdict: 'pass', data: { vin: '1ZY' } })
    const comparison = compare([[file('1ZZ')], [fails]], [[file('1ZY')], [passes]])
    expect(findingsOf(comparison)).toEqual([['settled', 'vin-agrees', 'fail', 'pass']])
    expect(comparison.facts.map(({ fact, findings }) => [fact, findings])).toEqual([
      ['vin', [0]],
      ['technician', []],
    ])
    expect(comparison.findings[0]).toMatchObject({ facts: [0], files: [0] })
  })

  const both = [scan('pre.pdf')]
  const said = (verdict: 'pass' | 'warn' | 'fail' | 'not-checked') => [makeFinding({ verdict, message: verdict })]
  test.each([
    ['pass', 'fail', 'new'],
    ['not-checked', 'warn', 'new'],
    ['warn', 'fail', 'worsened'],
    ['fail', 'warn', 'eased'],
    ['fail', 'fail', 'unchanged'],
    ['fail', 'not-checked', 'undecided'],
    ['pass', 'not-checked', 'undecided'],
    ['warn', 'pass', 'settled'],
    ['not-checked', 'pass', 'decided'],
    ['pass', 'pass', null],
    ['not-checked', 'not-checked', null],
  ] as const)('%s, then %s: %s', (before, after, change) => {
    const { findings, counts } = compare([both, said(before)], [both, said(after)])
    expect(findings.map((finding) => finding.change)).toEqual(change === null ? [] : [change])
    if (change !== null) expect(counts[change]).toBe(1)
  })

  const left = (code: string, file: string) =>
    makeFinding({
      check: 'no-faults-left',
      message: 'left',
      data: { code, file },
      reason: `${code} is left in ${file}.`,
      evidence: [{ file, ...makePlace(code) }],
    })
  const clear = (file: string) =>
    makeFinding({
      check: 'no-faults-left',
      verdict: 'pass',
      message: 'clear',
      data: { file },
      evidence: [{ file, text: '' }],
    })

  test('are matched by what they are about, not by their order or sentence', () => {
    const comparison = compare(
      [both, [left('C1A67', 'pre.pdf'), left('U0100', 'pre.pdf')]],
      [both, [{ ...left('U0100', 'pre.pdf'), reason: 'It says U0100 still.' }]],
    )
    expect(comparison.findings.map(({ change, before }) => [change, before?.reason])).toEqual([
      ['unchanged', 'U0100 is left in pre.pdf.'],
      ['not-raised', 'C1A67 is left in pre.pdf.'],
    ])
  })

  test('of a renamed file are the same findings', () => {
    const comparison = compare(
      [[scan('pre.pdf')], [left('U0100', 'pre.pdf'), left('C1A67', 'pre.pdf')]],
      [[scan('scan one.pdf')], [left('C1A67', 'scan one.pdf'), left('U0100', 'scan one.pdf')]],
    )
    expect(
      comparison.findings.map(({ change, before, after }) => [
        change,
        before?.evidence[0]?.text,
        after?.evidence[0]?.text,
      ]),
    ).toEqual([
      ['unchanged', 'U0100', 'U0100'],
      ['unchanged', 'C1A67', 'C1A67'],
    ])
  })

  test('several are settled where the check finds nothing amiss any more', () => {
    const comparison = compare([both, [left('C1A67', 'pre.pdf'), left('U0100', 'pre.pdf')]], [both, [clear('pre.pdf')]])
    expect(comparison.counts).toMatchObject({ settled: 2, 'not-raised': 0 })
  })

  test('that rested on a file which was taken out are not settled by what is said of others', () => {
    const [one, two, three] = [
      scan('1.pdf'),
      makeFile('2.pdf', 'calibration', [['x']]),
      makeFile('3.pdf', 'calibration', [['y']]),
    ]
    const before = [left('C1A67', '2.pdf'), left('U0100', '3.pdf'), clear('1.pdf')]
    const comparison = compare([[one, two, three], before], [[one], [clear('1.pdf')]])
    expect(findingsOf(comparison)).toEqual([
      ['not-raised', 'no-faults-left', 'fail', null],
      ['not-raised', 'no-faults-left', 'fail', null],
    ])
    expect(comparison.findings.map(({ files }) => files.map((index) => comparison.files[index]?.change))).toEqual([
      ['removed'],
      ['removed'],
    ])
  })

  test('weighed otherwise are told to be', () => {
    const [one, other] = [makeSubmission(both), makeSubmission(both)]
    const later = { ...other, report: { ...other.report, reviewed: '2027-01-01' } }
    expect(compareSubmissions(one, other).cautions).toHaveLength(3)
    expect(compareSubmissions(one, later).cautions.at(-1)).toContain('different')
  })
})

describe('hostile names and words', () => {
  const evil = '</style><script>alert(1)</script>"\'\u202Egnp.exe\u001b[2J__proto__'

  test('are shown and not obeyed', () => {
    const before = makeFile(evil, 'calibration', [[evil]], { technician: evil })
    const after = makeFile(evil, 'calibration', [[`${evil} more`]], { technician: `${evil}2` })
    const proto = makeFile('__proto__', 'calibration', [['constructor toString']])
    const finding = makeFinding({ reason: evil, evidence: [{ file: evil, page: 1, box: [0, 0, 9, 9], text: evil }] })
    const comparison = compare([[before, proto], [finding], evil], [[after, proto], [finding], evil])
    const page = renderComparisonPage(comparison)
    expect(readPage(page).filter(({ name }) => name === 'script')).toEqual([])
    expect(page).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202a-\u202e\u2066-\u2069]/)
    expect(renderComparison(comparison, { width: 80, color: false })).not.toMatch(
      /[\u0000-\u0009\u000b-\u001f\u202a-\u202e]/,
    )
  })
})
