import { describe, expect, test } from 'vitest'
import type { DocumentFacts } from '../../src/facts/document.ts'
import { renderDocumentText } from '../../src/report/document-text.ts'

function render(changes: Partial<DocumentFacts>): string {
  const document: DocumentFacts = {
    file: 'record.pdf',
    sha256: 'ef'.repeat(32),
    bytes: 1200,
    media: 'application/pdf',
    kind: 'calibration',
    kindFrom: 'heading',
    problems: [],
    evidence: {},
    ...changes,
  }
  return renderDocumentText(document, { width: 100, color: false })
}

const moment = (local: string | null, offset: string | null, text: string, alternatives?: string[]) => ({
  text,
  local,
  offset,
  earliest: '2026-03-04T00:00:00Z',
  latest: '2026-03-05T00:00:00Z',
  ...(alternatives ? { alternatives } : {}),
})

describe('a file', () => {
  test('is named with its size, its kind and where the kind comes from', () => {
    expect(render({ pages: 3 })).toBe(
      [
        'record.pdf',
        '  application/pdf, 1200 bytes, 3 pages',
        '',
        '  Kind          calibration record, by its heading',
        '',
      ].join('\n'),
    )
  })

  test('has its problems told first', () => {
    const lines = render({ problems: [{ code: 'damaged', message: 'Page 2 is damaged.' }] }).split('\n')
    expect(lines[2]).toBe('  PROBLEM Page 2 is damaged.')
  })
})

describe('a date', () => {
  test.each([
    [
      moment('2026-03-04T14:05', '-06:00', '03/04/2026 2:05 PM'),
      '2026-03-04 14:05, -06:00 (printed “03/04/2026 2:05 PM”)',
    ],
    [moment('2026-03-04T14:05', null, '2026-03-04 14:05'), '2026-03-04 14:05, no zone stated'],
    [moment('2026-03-04', null, '4.3.2026'), '2026-03-04 (printed “4.3.2026”)'],
    [
      moment(null, null, '03/04/2026', ['2026-03-04', '2026-04-03']),
      '03/04/2026 (day and month cannot be told apart: 2026-03-04 or 2026-04-03)',
    ],
  ])('%j', (date, expected) => {
    expect(render({ date })).toContain(`  Date          ${expected}\n`)
  })
})

describe('a scan', () => {
  test('that lists no code is told from a file that is no scan', () => {
    expect(render({ codes: [] })).toContain('Codes: none listed')
    expect(render({})).not.toContain('Codes')
  })

  test('shows each code with its failure type, module and status', () => {
    const codes = [
      { code: 'C1A41', failureType: '78', status: 'active', module: 'Front radar', text: 'Out of aim' },
      { code: 'U0155', failureType: null, status: 'unknown' },
    ] as const
    const text = render({ codes: [...codes], statedCodeCount: 3 })
    expect(text).toContain('  C1A41-78      Front radar, active, Out of aim\n')
    expect(text).toContain('  U0155         status not told\n')
    expect(text).toContain('The file itself counts 3 codes.')
  })

  test('shows modules by their state, those that ask for a look first', () => {
    const modules = [
      { name: 'Engine', state: 'no-fault' },
      { name: 'Airbag', state: 'no-response' },
      { name: 'Brakes', state: 'no-fault' },
    ] as const
    expect(render({ modules: [...modules] })).toContain(
      ['Modules (3)', '  no response     Airbag', '  no fault        Engine; Brakes', ''].join('\n'),
    )
  })
})

describe('a calibration', () => {
  test('shows outcome, values with their limits, and earlier attempts', () => {
    const text = render({
      calibrations: [
        {
          sensor: 'corner-radar',
          position: 'rear-left',
          method: 'dynamic',
          outcome: 'not-performed',
          durationSeconds: 125,
          distanceMetres: 8046.72,
          values: [
            { name: 'Yaw', value: 0.2, unit: 'deg', least: -1, most: 1, stated: 'ok' },
            { name: 'Level', value: 3, unit: null, most: 2, stated: 'out' },
          ],
          attempts: [{ outcome: 'aborted', progressPercent: 55 }],
        },
      ],
    })
    expect(text.slice(text.indexOf('Calibration'))).toBe(
      [
        'Calibration: rear left corner radar, dynamic',
        '  Outcome       not performed',
        '  Duration      2 min 5 s',
        // One mile is 1609.344 m (international yard and pound agreement, 1959).
        '  Distance      8 km (5 mi)',
        '  - Yaw: 0.2 deg (limits -1 to 1), stated in limits',
        '  - Level: 3 (limits none to 2), stated out of limits',
        '  Attempt 1     aborted, 55 %',
        '',
      ].join('\n'),
    )
  })
})

describe('lines of work', () => {
  test('show what they usually call for', () => {
    const operations = [
      { text: 'Replace windshield', calls: ['front-camera'], billed: true, amount: 410.5, kind: 'repair' },
      { text: 'Calibrate camera', calls: ['front-camera'], billed: true, kind: 'calibration' },
    ] as const
    expect(render({ operations: operations.map((one) => ({ ...one, calls: [...one.calls] })) })).toContain(
      'Lines of work (2)\n  - Replace windshield, 410.50; usually calls for: front camera\n  - Calibrate camera\n',
    )
  })
})
