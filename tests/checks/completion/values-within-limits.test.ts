import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { valuesWithinLimits as check } from '../../../src/checks/completion/values-within-limits.ts'
import type { MeasuredValue } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { packetOf } from './records.ts'

const parameters = generalParameters(check.id)
const value = (
  name: string,
  number: number,
  least?: number,
  most?: number,
  stated: MeasuredValue['stated'] = null,
): MeasuredValue => ({
  name,
  value: number,
  unit: 'deg',
  stated,
  ...(least === undefined ? {} : { least }),
  ...(most === undefined ? {} : { most }),
})
const messagesOf = (...values: MeasuredValue[]) => messages(check, packetOf([{ values }]), parameters)

describe('values-within-limits', () => {
  it('is met within both limits, within one, and where the record says so', () => {
    expect(messagesOf(value('Pitch', 0.1, -1, 1))).toEqual(['within'])
    expect(messagesOf(value('Offset', 0.3, undefined, 2))).toEqual(['within'])
    expect(messagesOf(value('Yaw', 0.3, undefined, undefined, 'ok'))).toEqual(['within'])
    expect(
      runCheck(check, packetOf([{ values: [value('Pitch', 0, -1, 1), value('Yaw', 0, -1, 1)] }]), parameters),
    ).toMatchObject([{ message: 'within', data: { count: 2, work: 'front radar, dynamic' } }])
  })

  it('is unmet outside, whatever the record says of it', () => {
    for (const stated of [null, 'ok', 'out'] as const)
      expect(messagesOf(value('Pitch', 1.2, -1, 1, stated))).toEqual(['outside'])
    expect(runCheck(check, packetOf([{ values: [value('Height', 12, undefined, 10)] }]), parameters)[0]).toMatchObject({
      message: 'outside',
      data: { value: '12 deg', limits: 'at most 10 deg' },
    })
    expect(messagesOf(value('Pitch', 0.2, -1, 1, 'out'))).toEqual(['stated-out'])
  })

  it('is unmet for exactly the values beyond a limit, wherever the limits lie', () => {
    const number = fc.integer({ min: -5000, max: 5000 })
    fc.assert(
      fc.property(number, number, number, (a, b, c) => {
        const [least, most] = [Math.min(a, b), Math.max(a, b)]
        fc.pre(least !== -most)
        expect(messagesOf(value('Pitch', c, least, most))[0] === 'outside').toBe(c < least || c > most)
      }),
    )
  })

  it('tells of a value near the end of its limits, unless that end is zero', () => {
    expect(messagesOf(value('Pitch', 0.95, -1, 1))).toEqual(['near'])
    expect(messagesOf(value('Pitch', 0.9, -1, 1))).toEqual(['within'])
    expect(messagesOf(value('Seam error', 0, 0, 4))).toEqual(['within'])
    expect(messagesOf(value('Seam error', 3.9, 0, 4))).toEqual(['near'])
  })

  it('leaves a value far beyond limits about zero to a person: they may be a tolerance', () => {
    expect(messagesOf(value('Target distance', 1502, -10, 10))).toEqual(['limits-unclear'])
    expect(messagesOf(value('Target distance', 1502, -10, 10, 'out'))).toEqual(['outside'])
    expect(messagesOf(value('Pitch', 2.9, -1, 1))).toEqual(['outside'])
  })

  it('counts final values only', () => {
    expect(messagesOf(value('Pitch before', 1.8, -1, 1), value('Pitch after', 0.1, -1, 1))).toEqual(['within'])
    expect(messagesOf(value('Vertical angle before drive', 1.8, -1, 1))).toEqual(['outside'])
    expect(messagesOf(value('Camber', 1.8, -1, 1), value('Camber', 0.2, -1, 1))).toEqual(['given-again'])
    expect(messagesOf(value('Camber', 1.8, -1, 1), value('Camber', 0.2, -2, 2))).toEqual(['outside'])
  })

  it('passes over a failed run that a completed one followed', () => {
    const failed = { outcome: 'failed', values: [value('Pitch', 1.8, -1, 1)] } as const
    const packet = packetOf(
      [{ ...failed, values: [...failed.values], ran: [0, 5] }],
      [{ values: [value('Pitch', 0.1, -1, 1)], ran: [10, 20] }],
    )
    expect(messages(check, packet, parameters)).toEqual(['within'])
    expect(messages(check, packetOf([{ ...failed, values: [...failed.values] }]), parameters)).toEqual(['outside'])
  })

  it('reads alignment reports as well', () => {
    const report = (number: number) =>
      makePacket([
        makeDocument('alignment', 'rack.pdf', {
          alignment: { outcome: 'completed', values: [value('Toe', number, 0, 0.2)] },
        }),
      ])
    expect(messages(check, report(0.1), parameters)).toEqual(['within'])
    expect(runCheck(check, report(0.34), parameters)[0]).toMatchObject({
      message: 'outside',
      data: { work: 'wheel alignment' },
    })
  })

  it('is undecided without values', () => {
    expect(messagesOf()).toEqual(['no-values'])
    expect(messagesOf(value('Pitch', 0.3))).toEqual(['no-values'])
    expect(messages(check, packetOf(), parameters)).toEqual(['no-values'])
  })
})
