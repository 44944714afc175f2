import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { compareBodies } from '../../../src/checks/documents/scan-bodies.ts'
import { scanNotReused as check } from '../../../src/checks/documents/scan-not-reused.ts'
import type { CodeReading, DocumentFacts, DocumentKind } from '../../../src/facts/document.ts'
import { makeDate, makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

/** What an invented instrument prints; the parts that a second scan changes are given. */
interface Report {
  title?: string
  time?: string | null
  volts?: number | null
  miles?: number
  number?: string | null
  codes?: CodeReading[]
  more?: string[]
}
const names = ['Engine control', 'Brake control', 'Front radar', 'Front camera']
const code: CodeReading = { code: 'C1A41', failureType: '78', status: 'active', module: 'Front radar' }

function print({ title = 'Scan', time = '', volts, miles, number, codes = [], more = [] }: Report): string[] {
  return [
    title,
    'VIN 1ZZTE5T11NB000421  Amber Ridge Collision',
    ...(time === null ? [] : [`Taken ${time.replace('T', ' ')} by R. Doe`]),
    ...(number ? [`Report no. ${number}`] : []),
    ...(volts ? [`Supply ${volts.toFixed(2)} V, charger on`] : []),
    ...(miles ? [`Odometer ${miles} mi`] : []),
    ...names.map((name) => `${name} ${codes.some(({ module }) => module === name) ? 'fault' : 'no fault'}`),
    ...codes.map((one) => `${one.code}-${one.failureType} ${one.status}`),
    ...more,
    `${title} page 1 of 1`,
  ]
}

function scan(kind: DocumentKind, file: string, report: Report, rest: Partial<DocumentFacts> = {}): DocumentFacts {
  const { time, volts, miles, codes = [] } = report
  const modules = names.map((name) => {
    const state = codes.some(({ module }) => module === name) ? 'fault' : 'no-fault'
    return { name, state } as const
  })
  return makeDocument(kind, file, {
    modules,
    codes,
    sha256: file.padEnd(64, '0'),
    ...(time ? { date: makeDate(time) } : {}),
    ...(volts ? { batteryVolts: volts } : {}),
    ...(miles ? { odometer: { value: miles, unit: 'mi' as const } } : {}),
    ...rest,
  })
}

type Kinds = readonly [DocumentKind, DocumentKind]
function packetOf(before: Report, after: Report, kinds: Kinds = ['pre-scan', 'post-scan']) {
  const [a, b] = [
    { title: 'Initial scan', ...before },
    { title: 'Final scan', ...after },
  ]
  const content = Object.fromEntries(
    [a, b].map((report, index) => {
      const lines = print(report).map((text) => makePlace(text))
      return [`${index}.pdf`, { lines, pageNumbers: [], track: null, information: null }]
    }),
  )
  return makePacket([scan(kinds[0], '0.pdf', a), scan(kinds[1], '1.pdf', b)], { content })
}
const say = (before: Report, after: Report, kinds?: Kinds) => messagesOf(check, packetOf(before, after, kinds))

const morning: Report = { time: '2026-10-20T08:47', volts: 13.27, miles: 31_406 }
const evening: Report = { time: '2026-10-22T15:10', volts: 13.31, miles: 31_417 }

describe('scan-not-reused: honest pairs', () => {
  it('finds a sound vehicle twice', () => {
    expect(say(morning, evening)).toEqual(['differ-in-values'])
    expect(say(morning, { ...evening, miles: 31_406 })).toEqual(['differ-in-values'])
    expect(say(morning, { ...evening, volts: 13.27 })).toEqual(['differ-in-values'])
  })

  it('does not judge reports that show nothing but their date', () => {
    const bare = { volts: null, miles: 0 }
    expect(say({ ...morning, ...bare }, { ...evening, ...bare })).toEqual(['nothing-tells-apart'])
    expect(say({ time: '2026-10-20' }, { time: '2026-10-20' })).toEqual(['nothing-tells-apart'])
    const numbered = [
      { ...morning, ...bare, number: 'QX-0114' },
      { ...evening, ...bare, number: 'QX-0131' },
    ] as const
    expect(say(...numbered)).toEqual(['nothing-tells-apart'])
  })

  it('sees faults come and go, even where all else is the same', () => {
    const [outcome] = runCheck(check, packetOf({ ...morning, codes: [code] }, morning))
    expect(outcome).toMatchObject({
      message: 'differ',
      data: { differences: ['Front radar: fault and no fault', 'C1A41-78 active in the first alone'] },
    })
    const stored = { ...code, status: 'stored' as const }
    expect(say({ ...morning, codes: [code] }, { ...morning, codes: [stored] })).toEqual(['differ'])
  })

  it('sees other lines in the body', () => {
    const live = { ...evening, volts: 13.27, miles: 31_406, more: ['Fuel pump relay state: open'] }
    expect(say({ ...morning, more: ['Fuel pump relay state: closed'] }, live)).toEqual(['differ'])
  })
})

describe('scan-not-reused: reports of one heading', () => {
  const named = (kind: 'pre-scan' | 'post-scan', files: string[], sha256: string[]) =>
    makePacket(files.map((file, at) => scan(kind, file, morning, { sha256: (sha256[at] ?? '').padEnd(64, '0') })))

  it('fails a copy that its name alone holds out as the scan after the work', () => {
    const [outcome, ...more] = runCheck(
      check,
      named('pre-scan', ['scans/post-scan 4471.pdf', 'pre-scan 4471.pdf'], ['a', 'a']),
    )
    expect(outcome).toMatchObject({
      message: 'same-file',
      state: 'unmet',
      data: { before: 'pre-scan 4471.pdf', after: 'scans/post-scan 4471.pdf' },
    })
    expect(more).toEqual([])
    expect(messagesOf(check, named('post-scan', ['pre-scan 4471.pdf', 'post-scan 4471.pdf'], ['a', 'a']))).toEqual([
      'same-file',
    ])
  })

  it('leaves a file that was saved twice under names of one scan', () => {
    expect(messagesOf(check, named('pre-scan', ['pre-scan.pdf', 'pre-scan (1).pdf'], ['a', 'a']))).toEqual(['no-pair'])
  })

  it('leaves a copy where a scan after the work is there', () => {
    const copies = named('pre-scan', ['pre-scan.pdf', 'old post-scan.pdf'], ['a', 'a'])
    const real = scan('post-scan', 'final.pdf', { ...evening, volts: 12.9 })
    expect(messagesOf(check, makePacket([...copies.documents, real]))).not.toContain('same-file')
  })
})

describe('scan-not-reused: one report twice', () => {
  it('fails the same report under another heading, and quotes the lines that differ', () => {
    const [outcome] = runCheck(check, packetOf(morning, morning))
    expect(outcome).toMatchObject({
      message: 'same-report',
      data: {
        same: ['the moment is the same', 'the voltage is the same'],
        differences: ['"Initial scan" and "Final scan"', '"Initial scan page 1 of 1" and "Final scan page 1 of 1"'],
      },
    })
    expect(outcome?.evidence.map(({ text }) => text)).toContain('Final scan')
    expect(outcome?.working?.[1]?.data).toMatchObject({ heading: 2, time: 0, body: 0 })
  })

  it('fails the same second, or the same report number with another date', () => {
    const bare = { volts: null, miles: 0 }
    const second = { ...bare, time: '2026-10-20T08:47:31' }
    expect(say(second, second)).toEqual(['same-report'])
    const numbered = { ...bare, number: 'QX-0114' }
    expect(say({ ...numbered, time: '2026-10-20' }, { ...numbered, time: '2026-10-22' })).toEqual(['same-report'])
  })

  it('warns where only the date, heading or number was changed', () => {
    expect(say(morning, { ...morning, time: '2026-10-22T15:10' })).toEqual(['only-heading'])
    const numbered = { ...morning, number: 'QX-0114' }
    expect(say(numbered, { ...numbered, time: '2026-10-22T15:10', number: 'QX-0131' })).toEqual(['only-heading'])
    const coded = { volts: null, miles: 0, codes: [code] }
    expect(say({ ...morning, ...coded }, { ...evening, ...coded })).toEqual(['only-heading'])
    expect(say({ time: '2026-10-20T08:47' }, { time: '2026-10-20T08:47' })).toEqual(['only-heading'])
  })

  it('warns of two forms of one moment', () => {
    expect(say(morning, { ...morning, more: ['Summary for the customer: all is well'] })).toEqual(['same-moment'])
  })

  it('knows the same file by its bytes, without words', () => {
    const sha256 = 'a'.repeat(64)
    const twins = [scan('pre-scan', 'a.pdf', {}, { sha256 }), scan('post-scan', 'b.pdf', {}, { sha256 })]
    expect(messagesOf(check, makePacket(twins))).toEqual(['same-file'])
  })
})

describe('scan-not-reused: what cannot be told', () => {
  it('compares facts alone where words lack', () => {
    const of = (a: Report, b: Report) => makePacket([scan('pre-scan', 'a.pdf', a), scan('post-scan', 'b.pdf', b)])
    expect(messagesOf(check, of(morning, evening))).toEqual(['differ-in-values'])
    expect(messagesOf(check, of(morning, morning))).toEqual(['same-moment'])
    expect(messagesOf(check, of({}, {}))).toEqual(['not-read'])
  })

  it('only warns of copies where the packet does not tell which scan is which', () => {
    expect(say(morning, morning, ['scan', 'scan'])).toEqual(['copy'])
    expect(say(morning, evening, ['pre-scan', 'scan'])).toEqual(['differ-in-values'])
    expect(say(morning, morning, ['post-scan', 'post-scan'])).toEqual(['no-pair'])
  })

  it('needs two scans', () => {
    expect(messagesOf(check, makePacket([scan('pre-scan', 'a.pdf', morning)]))).toEqual(['no-pair'])
  })
})

describe('bodies', () => {
  const body = (...texts: string[]) => ({ file: 'a.pdf', lines: texts.map((text) => makePlace(text)) })
  const causes = (a: string, b: string) =>
    compareBodies(body('1', '2', '3', '4', '5', '6', a), body('1', '2', '3', '4', '5', '6', b)).map(
      ({ cause }) => cause,
    )

  it.each([
    ['Scanned 20.10.2026 08:47 UTC-05:00', 'Scanned 22.10.2026 15:10 UTC-05:00', 'time'],
    ['Scan took 2 min 41 s', 'Scan took 2 min 34 s', 'time'],
    ['Printed Oct 20, 2026 8:47:05 AM MDT', 'Printed Oct 22, 2026 3:10:55 PM MDT', 'time'],
    ['Pre-repair scan', 'Post-repair scan', 'heading'],
    ['ALL-SYSTEM SCAN [PRE] #11840', 'ALL-SYSTEM SCAN [POST] #11850', 'number'],
    ['Sheet 1 / 2', 'Sheet 1 / 3', 'heading'],
    ['Session no. 0000931', 'Session no. 0000977', 'number'],
    ['Supply 13.2 V', 'Supply 13.4 V', 'value'],
    ['Front radar fault', 'Front radar no fault', 'body'],
    ['Front radar 1 code', 'Front radar no codes', 'body'],
    ['C1A41-78 active', 'C1A42-78 active', 'body'],
  ])('%s and %s: %s', (a, b, cause) => {
    expect(causes(a, b)).toEqual([cause])
  })

  it('finds one line that was put in, wherever that is', () => {
    const lines = fc.uniqueArray(fc.stringMatching(/^[a-z]{3,8}$/), { minLength: 1, maxLength: 20 })
    fc.assert(
      fc.property(lines, fc.nat(20), (texts, at) => {
        const more = texts.toSpliced(Math.min(at, texts.length), 0, 'U0123 new')
        expect(compareBodies(body(...texts), body(...texts))).toEqual([])
        const found = compareBodies(body(...texts), body(...more))
        expect(found.map(({ before, after }) => [before, after?.text])).toEqual([[null, 'U0123 new']])
      }),
    )
  })
})
