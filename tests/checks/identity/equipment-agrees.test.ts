import { describe, expect, it } from 'vitest'
import { equipmentAgrees as check } from '../../../src/checks/identity/equipment-agrees.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

type Instrument = { name?: string; serial?: string; software?: string }
const records = (...parts: [Instrument, day?: string][]) =>
  makePacket(
    parts.map(([instrument, day], index) =>
      makeDocument('calibration', `${index}.pdf`, { instrument, ...(day ? { date: makeDate(day) } : {}) }),
    ),
  )
const unit = (software: string): Instrument => ({ name: 'Fennick 4', serial: 'RF4-3306', software })

describe('equipment-agrees', () => {
  it.each<[string, [Instrument, day?: string][], string[]]>([
    ['the same', [[unit('4.7')], [unit('4.7')]], ['agree']],
    ['a shortened version', [[unit('4.7.0')], [unit('4.7')]], ['agree']],
    ['punctuation', [[unit('2026/06')], [unit('2026/06.')]], ['agree']],
    ['only the end of the number', [[unit('4.7')], [{ name: 'Fennick 4', serial: '3306' }]], ['one-record']],
    [
      'an update',
      [
        [unit('4.7'), '2026-05-04'],
        [unit('4.8'), '2026-05-05'],
      ],
      ['updated'],
    ],
    [
      'an update within a day',
      [
        [unit('4.7'), '2026-05-04'],
        [unit('4.8'), '2026-05-04'],
      ],
      ['software-differs'],
    ],
    [
      'a step back',
      [
        [unit('4.8'), '2026-05-04'],
        [unit('4.7'), '2026-05-05'],
      ],
      ['software-differs'],
    ],
    ['no days', [[unit('4.7')], [unit('4.8')]], ['software-differs']],
    ['two ways to count', [[unit('4.7.1')], [unit('2026.04')]], ['software-unclear']],
    ['a slip', [[unit('4.7')], [{ ...unit('4.7'), serial: 'RF4-3360' }]], ['serial-slip']],
    ['two units', [[unit('4.7')], [{ ...unit('4.7'), serial: 'RF4-9021' }]], ['two-units']],
    ['two instruments', [[unit('4.7')], [{ name: 'Osterby S2', serial: 'OLS-20418' }]], ['one-record']],
    ['no names', [[{ serial: 'A-1001' }], [{ serial: 'A-2002' }]], ['one-record']],
    ['a name that is the number', [[{ name: 'Q7-0412', serial: 'Q7-0412' }], [unit('1')]], ['one-record']],
    ['nothing', [[{}]], ['one-record']],
  ])('%s: %j', (_, parts, messages) => {
    expect(messagesOf(check, records(...parts))).toEqual(messages)
  })

  it('compares each version with the next in the order of days, whatever the order of files', () => {
    const packet = records([unit('4.9'), '2026-05-06'], [unit('4.7'), '2026-05-04'], [unit('4.7'), '2026-05-05'])
    const [outcome, ...more] = runCheck(check, packet)
    expect(more).toEqual([])
    expect(outcome).toMatchObject({ message: 'updated', data: { file: '2.pdf', laterFile: '0.pdf', later: '4.9' } })
  })
})
