/** Who drove, watched and reviewed. All names are invented. */
import { describe, expect, test } from 'vitest'
import { recognise } from './recognised.ts'

const record = (text: string) => recognise(`SENSOR CALIBRATION RECORD\n${text}`)

describe('people in their roles', () => {
  test.each([
    ['Driver: Marlo Tresk', [{ role: 'driver', name: 'Marlo Tresk' }]],
    ['Tool watched by: Ines Quillard, second technician', [{ role: 'observer', name: 'Ines Quillard' }]],
    ['Checked and released by: R. Halloran', [{ role: 'reviewer', name: 'R. Halloran' }]],
    ['Released by Cleo Vantz.', [{ role: 'reviewer', name: 'Cleo Vantz' }]],
    ['Released by: Cleo Vantz. Loss of 2 August 2026.', [{ role: 'reviewer', name: 'Cleo Vantz' }]],
  ])('%s', (text, people) => {
    const facts = record(text)
    expect(facts.people).toEqual(people)
    expect(facts.evidence['people.0']?.[0]?.text).toContain(people[0]?.name)
  })

  test('in a sentence', () => {
    const facts = record('On the road Corin Haddow watched the percentage while Ilse Maronne drove.')
    expect(facts.people).toEqual([
      { role: 'driver', name: 'Ilse Maronne' },
      { role: 'observer', name: 'Corin Haddow' },
    ])
  })

  test.each([
    ['advice printed on a form', 'DRIVER DRIVES - SECOND PERSON WATCHES'],
    ['a word alone', 'Driver: Yes'],
    ['a heading', 'Driver Assistance Systems'],
    ['what is fitted on a side', 'Passenger    Airbag Module\nDriver Door Module\nDriver: Seat Heater'],
    ['who wrote or signed the paper', 'Written by: Bea Norquist\nSigned by: Bea Norquist'],
    ['who read the instrument', 'Inspector: Ilse Maronne'],
  ])('%s names nobody', (_what, text) => {
    expect(record(text).people).toBeUndefined()
  })

  test('an estimate speaks of nobody who did anything', () => {
    expect(recognise('REPAIR ESTIMATE\nChecked by: Bea Norquist', 'estimate').people).toBeUndefined()
  })

  test('whoever had the accident drove no calibration', () => {
    const text = 'CUSTOMER STATEMENT\nDriver: Ann Ombrel\nPassenger: Ned Ombrel'
    expect(recognise(text, 'statement').people).toBeUndefined()
    const told = 'WORK STATEMENT\nOn the road Ned Ombrel watched the instrument while Ann Ombrel drove.'
    expect(recognise(told, 'statement').people).toHaveLength(2)
  })

  test('an inspector on a quality sheet reviewed the vehicle', () => {
    expect(recognise('QUALITY CHECK\nInspector: Ilse Maronne', 'statement').people).toEqual([
      { role: 'reviewer', name: 'Ilse Maronne' },
    ])
  })
})

describe('a second person watched', () => {
  const says = (text: string) => record(text).statements?.some(({ about }) => about === 'watched') ?? false

  test.each([
    'The driver drove. The second person alone watched the percentage.',
    'Second person watched the instrument on the road.',
    'The observer at all times monitored progress.',
    'A passenger read the percentage aloud.',
  ])('%s', (text) => {
    expect(says(text)).toBe(true)
  })

  test.each([
    'The driver drives. A second person watches the tool.',
    'No second person watched the instrument.',
    'A second person should have watched the instrument.',
    'Passenger airbag module read and found in order.',
    'The parking assistant read and cleared.',
    'Tool watched by nobody in particular today.',
  ])('not said by: %s', (text) => {
    expect(says(text)).toBe(false)
  })

  test('nor by a scan, whose lines name seats and doors', () => {
    expect(recognise('PRE-REPAIR SCAN\nThe passenger read module 4 aloud', 'pre-scan').statements ?? []).toEqual([])
  })
})

test('a word of thousands of letters is no name, and is not gone through from each of them', () => {
  const start = performance.now()
  expect(record(`${'A'.repeat(100_000)} drove.`).people).toBeUndefined()
  // Once through takes milliseconds; from every letter it took minutes.
  expect(performance.now() - start).toBeLessThan(10_000)
})
