/** What kind of document it is, and what told it. */
import { describe, expect, test } from 'vitest'
import type { DocumentKind } from '../../../src/facts/document.ts'
import { celled, page, typed } from '../../reading/page-builder.ts'
import { recognise, recognisePages } from './recognised.ts'

const states = ['Engine control     OK', 'Front radar        OK', 'Brakes             OK', 'Airbag             OK']

const papers: [DocumentKind, string, string][] = [
  ['pre-scan', 'PRE-REPAIR SCAN', states.join('\n')],
  ['post-scan', 'POST-REPAIR SCAN', states.join('\n')],
  ['scan', 'SYSTEM SCAN', states.join('\n')],
  [
    'calibration',
    'CALIBRATION RECORD',
    'Sensor:  Front radar\nMethod:  Dynamic\nStarted: 09:10\nEnded:   09:24\nResult:  Completed',
  ],
  ['alignment', 'WHEEL ALIGNMENT', 'Camber left   -0.4\nCaster left   3.1\nToe left      0.05'],
  [
    'estimate',
    'ESTIMATE',
    'Front bumper, replace     $ 310.00\nFront radar calibration   $ 280.00\nScan                      $ 85.00',
  ],
  [
    'invoice',
    'INVOICE',
    'Front bumper, replace     $ 310.00\nFront radar calibration   $ 280.00\nAmount due                $ 590.00',
  ],
  [
    'statement',
    'QUALITY CHECK',
    'The lamps were tried and the doors were closed.\nThe wheels were tightened by hand and then again.',
  ],
]

describe('the heading', () => {
  test.each(papers)('tells: %s', (kind, title, body) => {
    expect(recognise(`${title}\n\n${body}`)).toMatchObject({ kind, kindFrom: 'heading' })
  })
})

test('a heading whose letters fall apart in a picture tells, and in print it does not', () => {
  const text = 'ESTI MATE\n\nFront bumper, replace   310.00\nFront radar calibration   280.00'
  const paper = typed(text.split('\n'))
  const seen = { ...paper, words: paper.words.map((word) => ({ ...word, confidence: 96 })) }
  expect(recognisePages([seen])).toMatchObject({ kind: 'estimate', kindFrom: 'heading' })
  expect(recognisePages([paper])).not.toMatchObject({ kind: 'estimate', kindFrom: 'heading' })
})

describe('the heading in Spanish', () => {
  test.each([
    ['pre-scan', 'Diagnóstico previo a la reparación'],
    ['pre-scan', 'Lectura de averías al ingreso'],
    ['post-scan', 'Diagnóstico de cierre, después de reparar'],
    ['post-scan', 'Lectura final de unidades'],
  ] as const)('tells: %s, %s', (kind, title) => {
    const units = ['Motor   Sin códigos', 'Frenos   Con averías', 'Airbag   No responde', 'Pasarela   Sin fallos']
    expect(recognise(`${title}\n\n${units.join('\n')}`)).toMatchObject({ kind, kindFrom: 'heading' })
  })
})

describe('without a heading', () => {
  test('the content tells a scan, an alignment, a calibration', () => {
    for (const [kind, , body] of papers.slice(2, 5))
      expect(recognise(`Harrow Lane\n\n${body}`)).toMatchObject({ kind, kindFrom: 'content' })
  })

  test('the name of the file tells which scan it is', () => {
    expect(recognise(`Harrow Lane\n\n${states.join('\n')}`, undefined, 'out/post scan.pdf')).toMatchObject({
      kind: 'post-scan',
      kindFrom: 'name',
    })
  })

  test('sentences and nothing else are a statement', () => {
    const text =
      'We have looked at the car and found it in good order today.\nThe owner came by and took the keys with him at noon.'
    expect(recognise(text).kind).toBe('statement')
  })

  test('nothing tells: it is another kind of paper, not a guess', () => {
    expect(recognise('Harrow Lane\nMenu of the week')).toMatchObject({ kind: 'other' })
    expect(recognisePages([page([])])).toMatchObject({ kind: 'other' })
  })

  test('a picture without words is a photograph, whatever its name', () => {
    const picture = {
      widthPixels: 9,
      heightPixels: 9,
      taken: '2026-05-21T14:05:00',
      offset: null,
      satelliteTime: null,
      location: null,
      camera: null,
      software: null,
    }
    expect(recognisePages([page([])], undefined, 'scan.jpg', { picture })).toMatchObject({
      kind: 'photo',
      photo: { taken: { local: '2026-05-21T14:05:00', offset: null }, location: null },
    })
  })

  test('an unread file is what its name says', () => {
    const problems = [{ code: 'encrypted', message: 'locked' }]
    expect(recognisePages([], undefined, 'alignment sheet.pdf', { problems })).toMatchObject({
      kind: 'alignment',
      kindFrom: 'name',
    })
  })
})

test('what the packet declares wins', () => {
  expect(recognise(`POST-REPAIR SCAN\n${states.join('\n')}`, 'pre-scan')).toMatchObject({
    kind: 'pre-scan',
    kindFrom: 'declared',
  })
})

test('verdicts of runs and of their values are no states of modules', () => {
  const page = celled([
    ['report:', 'Sensor calibration: Front camera'],
    ['sensor', 'method', 'started', 'ended', 'result', 'value name', 'value', 'minimum', 'maximum', 'assessment'],
    ...['Pitch', 'Yaw', 'Roll'].map((name) => [
      'Front camera',
      'Dynamic',
      '2026-04-04 11:37',
      '2026-04-04 11:55',
      'Passed',
      name,
      '0.91 deg',
      '-2.00',
      '2.00',
      'OK',
    ]),
  ])
  expect(recognisePages([page], undefined, '4 camera.json')).toMatchObject({ kind: 'calibration' })
})
