/** Who did the work, of notes that are signed and nothing else. Invented names. */
import { describe, expect, test } from 'vitest'
import { recognise } from './recognised.ts'

const told = `
W-4410 Corvane M4, 11 Mar 2026

Scanned the car before the glass came out, and set the new one by noon. The charger
stayed on all day. Nothing in the car, full tank, tires set cold this morning.
The floor was checked for level and the light was even while it ran.
`
const technicianOf = (foot: string, text = told, file = 'note.txt') => {
  const { technician, evidence } = recognise(`${text}${foot}`, undefined, file)
  return [technician, evidence.technician?.map((place) => place.text)]
}

describe('a note of the work names its technician by', () => {
  test.each([
    ['a name set apart at its foot', '\nB. Marchetti', 'B. Marchetti'],
    ['a full name', '\nBruna Marchetti', 'Bruna Marchetti'],
    ['a name behind a dash', '- B. Marchetti', 'B. Marchetti'],
    ['a name and the day', 'B. Marchetti, 11 Mar 2026', 'B. Marchetti'],
    ['initials and the day', 'BM 2026-03-11', 'BM'],
    ['initials behind a dash', '– B.M.', 'B.M.'],
  ])('%s', (_, foot, name) => {
    expect(technicianOf(foot)).toEqual([name, [foot.trim()]])
  })
})

describe('nobody is named by', () => {
  test.each([
    ['a name that goes on from the text', 'B. Marchetti'],
    ['initials alone', '\nBM'],
    ['words that are no name', '\nAll Good'],
    ['the name of a shop', '\nCorvane Glass'],
    ['what is set like a name', '\nFront Camera'],
    ['a name with another title', '\nB. Marchetti, quality control'],
    ['a name that is not last', '\nB. Marchetti\n\nprinted by the front desk on request'],
    ['the close of a letter', '\nKind regards\n\nB. Marchetti'],
  ])('%s', (_, foot) => {
    expect(technicianOf(foot)).toEqual([undefined, undefined])
  })

  test('who signs a letter', () => {
    expect(technicianOf('\nB. Marchetti', `From: B. Marchetti\nTo: the shop\n${told}`)[0]).toBeUndefined()
  })

  test('who signs what does not tell of work', () => {
    const owner = `
      My car went in on Monday, and I got it back two days later with a new glass in it.
      Since then the lane warning comes on for no reason when I drive home at night.
    `
    expect(technicianOf('\n      Bruna Marchetti', owner)[0]).toBeUndefined()
  })

  test('who signs beside somebody under a label', () => {
    expect(technicianOf('\nTechnician: Odo Lansky\n\nB. Marchetti')[0]).toBe('Odo Lansky')
    expect(technicianOf('\nReviewed by: Odo Lansky\n\nB. Marchetti')[0]).toBeUndefined()
  })
})
