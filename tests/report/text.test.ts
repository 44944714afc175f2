import { describe, expect, test } from 'vitest'
import type { DocumentFacts } from '../../src/facts/document.ts'
import type { ReportEvent } from '../../src/findings/report.ts'
import { measureText } from '../../src/report/terminal-text.ts'
import { renderText } from '../../src/report/text.ts'
import { makeFinding, makeReport } from './invented.ts'

const plain = { width: 80, color: false }

/** The lines below a heading, up to the next empty line, without their indent. */
function sectionOf(text: string, heading: string): string[] {
  const lines = text.split('\n')
  const start = lines.findIndex((line) => line.startsWith(heading))
  if (start < 0) return []
  const end = lines.indexOf('', start)
  return lines.slice(start + 1, end < 0 ? undefined : end).map((line) => line.trim())
}

function makeEvent(changes: Partial<ReportEvent>): ReportEvent {
  return {
    id: 'pre-scan-1',
    kind: 'pre-scan',
    label: 'pre-scan',
    file: 'in.pdf',
    earliestStart: null,
    latestStart: null,
    earliestEnd: null,
    latestEnd: null,
    ...changes,
  }
}

const at = (from: string, to: string, endFrom = from, endTo = to): Partial<ReportEvent> => ({
  earliestStart: from,
  latestStart: to,
  earliestEnd: endFrom,
  latestEnd: endTo,
})

describe('the head', () => {
  test('begins with the verdict and the vehicle', () => {
    const [first, , , vehicle] = renderText(makeReport(), plain).split('\n')
    expect(first).toBe('FAIL packet job 12')
    expect(vehicle).toBe('  Vehicle    VIN 1Q9ZZ1A10TB000001, 2026 Ostrava Lindrel')
  })

  test('says so when no VIN could be read', () => {
    expect(renderText(makeReport({ vehicle: { vin: null } }), plain)).toContain('no VIN could be read')
  })
})

describe('a finding', () => {
  test('stands with its place, rule, remedy and who is exposed', () => {
    const text = renderText(makeReport(), plain)
    expect(sectionOf(text, '  FAIL one.pdf shows')).toEqual([
      'Read in    one.pdf, page 2: “1Q9ZZ”',
      'Rule       One VIN is assigned to one vehicle.',
      'To settle  Read the VIN at the vehicle.',
      'Ask        the shop',
      'Exposed    shop, to a packet that mixes two vehicles',
      'insurer, to paying for another vehicle',
      'Check      vin-agrees',
    ])
  })

  test('counts the places that are left out', () => {
    const evidence = Array.from({ length: 20 }, (_, index) => ({ file: `${index}.pdf`, text: 'x' }))
    const text = renderText(makeReport({ findings: [makeFinding({ evidence })] }), plain)
    expect(text).toContain('6.pdf: “x”')
    expect(text).not.toContain('7.pdf')
    expect(text).toContain('and 13 more places')
  })

  test('names a declared line as a line', () => {
    const place = { file: 'packet.yaml', box: [3, 12, 20, 12] as const, text: 'ended: 2026-05-01' }
    const text = renderText(makeReport({ findings: [makeFinding({ evidence: [place] })] }), plain)
    expect(text).toContain('packet.yaml, line 12: “ended: 2026-05-01”')
  })

  test('that passes is told by its claim, or by its reason where others of its check do not pass', () => {
    const pass = { verdict: 'pass', remedy: undefined } as const
    const alone = makeFinding({ ...pass, check: 'vin-present', claim: 'Every record has a VIN.' })
    const beside = makeFinding({ ...pass, reason: 'two.pdf and three.pdf agree.' })
    const text = renderText(makeReport({ findings: [makeFinding(), alone, beside] }), plain)
    expect(sectionOf(text, 'What holds (2)')).toEqual(['- Every record has a VIN.', '- two.pdf and three.pdf agree.'])
  })

  test('that could not be checked is a line, once for all that say the same', () => {
    const open = { verdict: 'not-checked', reason: 'The packet holds no post-scan.' } as const
    const text = renderText(makeReport({ findings: [makeFinding(open), makeFinding({ ...open, check: 'b' })] }), plain)
    expect(sectionOf(text, 'Not checked (2)')).toEqual(['- The packet holds no post-scan. (2 checks)'])
  })
})

describe('what would settle it', () => {
  const item = { what: 'Scan it.', from: ['shop', 'owner'] as const, verdict: 'fail', checks: ['a', 'b'] } as const
  const report = makeReport({
    actions: { vehicle: [{ ...item, from: [...item.from], checks: [...item.checks] }], papers: [] },
    exposure: [
      { party: 'owner', fail: 1, warn: 2, to: [{ what: 'a lamp that is dark', verdict: 'fail', checks: ['a'] }] },
    ],
  })

  test('is told with who can supply it, after the findings; a list without items is left out', () => {
    const text = renderText(report, plain)
    expect(sectionOf(text, 'Before this vehicle leaves')).toEqual([
      '- Scan it.',
      'from the shop or the owner; settles a, b',
    ])
    expect(text).not.toContain('Ask for')
    expect(text.indexOf('Before this vehicle leaves')).toBeGreaterThan(text.indexOf('What fails'))
  })

  test('stands beside who is exposed, and to what', () => {
    expect(sectionOf(renderText(report, plain), 'Who is exposed, and to what')).toEqual([
      'owner: 1 fail, 2 warn',
      'FAIL to a lamp that is dark',
    ])
  })
})

describe('the order of events', () => {
  const timeline = (events: ReportEvent[], zone: string | null = 'America/Denver') =>
    sectionOf(renderText(makeReport({ events, zone }), plain), 'Order of events').filter(
      (line) => !/^Times are|tell no more than that/.test(line),
    )

  test('stands in local time, a heading a day', () => {
    // RFC 3339 section 4.2: local time is UTC plus offset; Denver keeps -06:00 in May.
    const scan = makeEvent(at('2026-05-18T14:36:00Z', '2026-05-18T14:47:00Z'))
    const next = makeEvent({
      ...at('2026-05-19T05:59:00Z', '2026-05-19T05:59:00Z'),
      id: 'photo-1',
      kind: 'photo',
      label: '',
    })
    const last = makeEvent({
      ...at('2026-05-19T06:00:00Z', '2026-05-19T06:00:00Z'),
      id: 'photo-2',
      kind: 'photo',
      label: '',
    })
    expect(timeline([last, next, scan])).toEqual([
      'Mon 2026-05-18',
      '08:36–08:47                 pre-scan (in.pdf)',
      '23:59                       photo taken (in.pdf)',
      'Tue 2026-05-19',
      '00:00                       photo taken (in.pdf)',
    ])
  })

  test('shows what is uncertain as such', () => {
    const repair = { kind: 'repair', label: 'Grille replaced' } as const
    expect(
      timeline([
        makeEvent({
          ...repair,
          id: 'repair-1',
          latestStart: '2026-05-18T20:00:00Z',
          earliestEnd: '2026-05-18T19:50:00Z',
          latestEnd: '2026-05-18T20:00:00Z',
        }),
        makeEvent({ ...repair, id: 'repair-2' }),
        makeEvent({
          ...at('2026-05-20T06:00:00Z', '2026-05-21T06:00:00Z'),
          id: 'release-1',
          kind: 'release',
          label: '',
        }),
      ]),
    ).toEqual([
      'Mon 2026-05-18',
      'ended 13:50–14:00           repair: Grille replaced (in.pdf)',
      'Wed 2026-05-20',
      'some time that day          vehicle released (in.pdf)',
      'Day not known',
      'no time stated              repair: Grille replaced (in.pdf)',
    ])
  })

  test('has each day once, in order, with what may be of several days on the likeliest of them', () => {
    const scan = makeEvent(at('2026-05-19T15:00:00Z', '2026-05-19T15:00:00Z'))
    // A day whose zone nobody knows: two hours more on both sides.
    const release = { id: 'release-1', kind: 'release', label: '' } as const
    const doubtful = makeEvent({ ...at('2026-05-19T04:00:00Z', '2026-05-20T08:00:00Z'), ...release })
    const repair = { id: 'repair-1', kind: 'repair', label: 'Grille replaced' } as const
    const long = makeEvent({
      ...at('2026-05-18T15:00:00Z', '2026-05-18T15:00:00Z', '2026-05-20T20:00:00Z', '2026-05-20T20:00:00Z'),
      ...repair,
    })
    const days = timeline([doubtful, scan, long]).filter((line) => /^\w{3} \d{4}-\d\d-\d\d$/.test(line))
    expect(days).toEqual(['Mon 2026-05-18', 'Tue 2026-05-19'])
  })

  test('stands in UTC, and says so, where no zone is known', () => {
    const text = renderText(
      makeReport({ zone: null, events: [makeEvent(at('2026-05-18T14:36:00Z', '2026-05-18T14:36:00Z'))] }),
      plain,
    )
    expect(text).toContain('Times are UTC, as no file tells the local zone.')
    expect(text).toContain('    14:36 ')
  })
})

describe('codes before and after', () => {
  const scan = (kind: 'pre-scan' | 'post-scan', changes: Partial<DocumentFacts>): DocumentFacts => ({
    file: `${kind}.pdf`,
    sha256: 'ef'.repeat(32),
    bytes: 1,
    media: 'application/pdf',
    kind,
    kindFrom: 'heading',
    problems: [],
    evidence: {},
    ...changes,
  })
  const code = { code: 'C1A41', failureType: '78', status: 'active', module: 'Front radar' } as const
  const codes = (documents: DocumentFacts[]) =>
    sectionOf(renderText(makeReport({ documents }), plain), 'Codes before and after').map((line) =>
      line.replaceAll(/ {2,}/g, ' | '),
    )

  test('a code that is not listed any more', () => {
    const modules = [{ name: 'Front radar', state: 'no-fault' as const }]
    expect(codes([scan('pre-scan', { codes: [code] }), scan('post-scan', { codes: [], modules })])).toEqual([
      'Code | Module | Before | After',
      'C1A41-78 | Front radar | active | not listed',
    ])
  })

  test.each([
    ['left out', []],
    ['without an answer', [{ name: 'Front radar', state: 'no-response' as const }]],
  ])('a module that is %s is not one without codes', (_, its) => {
    const modules = [{ name: 'Brakes', state: 'no-fault' as const }, ...its]
    const rows = codes([scan('pre-scan', { codes: [code] }), scan('post-scan', { codes: [], modules })])
    expect(rows[1]).toBe('C1A41-78 | Front radar | active | module not read')
  })

  test('a code that came with the work, and one that only changed', () => {
    const stored = { ...code, status: 'stored' as const }
    const fresh = { ...code, code: 'U0155', failureType: null }
    const rows = codes([scan('pre-scan', { codes: [code] }), scan('post-scan', { codes: [stored, fresh] })])
    expect(rows.slice(1)).toEqual([
      'C1A41-78 | Front radar | active | stored',
      'U0155 | Front radar | not listed | active',
    ])
  })

  test('no scan afterwards is said, not shown as cleared', () => {
    expect(codes([scan('pre-scan', { codes: [code] })])[1]).toBe('C1A41-78 | Front radar | active | no scan')
    expect(codes([scan('pre-scan', { codes: [] })])).toEqual([
      'No code was read in the pre-scan, and there is no post-scan.',
    ])
  })
})

describe('hostile words', () => {
  const evil = '\u001b]0;x\u0007\u202Elive\u2066 \u009b2J 測定 '.repeat(8)
  const hostile = makeReport({
    packet: evil,
    vehicle: { vin: evil, make: evil },
    findings: [
      makeFinding({ reason: evil, basis: evil, remedy: evil, evidence: [{ file: evil, page: 1, text: evil }] }),
      makeFinding({ verdict: 'not-checked', reason: evil }),
    ],
    events: [makeEvent({ label: evil, file: evil })],
    cautions: [evil],
  })

  test.each([40, 57, 80, 120])('neither steer the terminal nor break the %i columns', (width) => {
    const text = renderText(hostile, { width, color: false })
    expect(text.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\u202a-\u202e\u2066-\u2069]/u)
    for (const line of text.split('\n')) expect(measureText(line)).toBeLessThanOrEqual(width)
  })
})
