/** What is printed in a way that is not understood must not turn into a clean bill. */
import { describe, expect, test } from 'vitest'
import { outcomeOf } from '../../../src/facts/recognise/calibration-outcomes.ts'
import { vocabulary } from '../shipped-vocabulary.ts'
import { recognise } from './recognised.ts'

const scan = (text: string) => recognise(`POST-REPAIR SCAN REPORT\n\n${text}`, 'post-scan')
const problemsOf = (text: string) => scan(text).problems.map(({ code }) => code)

describe('a code of a form that is not read', () => {
  test.each(['480C2F', '01314', 'B7F8A1', 'C1A67_54', 'C1A67.54', 'D1A36-92', 'C 1A67-54'])(
    '%s beneath its module is said to be unread',
    (code) => {
      expect(problemsOf(`Front camera\n   ${code}  Missing calibration  Active`)).toEqual(['unread-code'])
    },
  )

  test('in a column of codes is said to be unread, whatever its status', () => {
    const row = 'Module         Result    Code      Description\nFront camera   Fault     480C2F    Missing calibration'
    expect(problemsOf(row)).toEqual(['unread-code'])
  })

  test('is none where a code was read, or where a number is something else', () => {
    expect(problemsOf('Front camera\n   C1A67-54  Missing calibration  Active')).toEqual([])
    expect(problemsOf('Odometer: 41231 km\nSoftware: 0014\nThe mileage 41220 km is current.')).toEqual([])
    expect(problemsOf('Module         Codes\nFront camera   0\nFront radar    0')).toEqual([])
  })
})

describe('a count of codes', () => {
  test.each([
    ['Two faults present', 2],
    ['2 trouble codes are stored in this vehicle', 2],
    ['No codes were found in this vehicle', 0],
    ['3 codes cleared before this scan', undefined],
  ])('"%s"', (text, count) => {
    expect(scan(text).statedCodeCount).toBe(count)
  })
})

describe('an outcome', () => {
  test.each([
    'never completed',
    'To be completed',
    'Completed with errors',
    'Completed: NO',
    'Completed?',
    'Passed / Failed',
  ])('"%s" is not stated', (text) => expect(outcomeOf(text, vocabulary)).toBeNull())

  test.each([
    ['[x] Completed [ ] Failed', 'completed'],
    ['☐ Completed ☑ Failed', 'failed'],
    ['☐ Completed ☐ Failed', null],
    ['Completed', 'completed'],
    ['Successfully completed', 'completed'],
    ['Not completed', 'aborted'],
  ])('"%s" is %s', (text, outcome) => expect(outcomeOf(text, vocabulary)).toBe(outcome))
})

describe('a note', () => {
  test('that speaks of a calibration is no record of one', () => {
    const note = `
      Note to file. The pre-scan showed C1A67-54 in the front camera, active.
      This came from the windshield and was gone after the calibration of that camera.
      Customer was told of it by the adviser on the phone.`
    expect(recognise(note).kind).toBe('statement')
  })

  test('that lists what was cleared calls nothing present', () => {
    const statuses = (text: string) => scan(text).codes?.map(({ status }) => status)
    expect(statuses('Front camera   C1A67-54  Missing calibration  Cleared')).toEqual(['stored'])
    expect(statuses('Front camera   C1A67-54  Missing calibration  Failed since cleared')).toEqual(['unknown'])
  })
})
