import { describe, expect, it } from 'vitest'
import { noWorkAfterPostScan as check } from '../../../src/checks/order/no-work-after-post-scan.ts'
import { generalParameters } from '../general.ts'
import { makeDate, makeDocument, makeEvent, makePacket } from '../packet-builder.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const parameters = generalParameters(check.id)
const messagesOf = (...entries: Entry[]) => messages(check, makeScene(entries), parameters)
const scan: Entry = { kind: 'post-scan', start: at(120), label: 'post-scan' }
const repair: Entry = { kind: 'repair', start: at(10), end: at(60), label: 'Front bumper cover replaced' }
const clearing: Entry = { kind: 'clearing', start: at(80), label: 'codes cleared' }
const alignment: Entry = { kind: 'alignment', start: at(90), label: 'wheel alignment' }

describe('no-work-after-post-scan', () => {
  it('is met where repair, clearing and alignment ended before the scan', () => {
    expect(messagesOf(repair, clearing, alignment, scan)).toEqual(['in-order'])
  })

  it.each<[string, Entry]>([
    ['a repair that ended after it', { ...repair, end: at(150) }],
    ['a repair that began after it and states no end', { kind: 'repair', start: at(150), label: 'Mirror fitted' }],
    ['codes cleared after it', { ...clearing, start: at(140) }],
    ['an alignment after it', { ...alignment, start: at(140) }],
  ])('is unmet by %s', (_, late) => {
    const started = late.end === undefined && late.kind === 'repair'
    const bounds = started ? { end: [late.start ? makeDate(late.start).earliest : null, null] as const } : undefined
    const [outcome] = runCheck(check, makeScene([{ ...late, ...(bounds ? { bounds } : {}) }, scan]), parameters)
    expect(outcome?.message).toBe('out-of-order')
    expect(outcome?.evidence.length).toBeGreaterThan(1)
  })

  it('is satisfied by one scan that follows all work', () => {
    expect(messagesOf(scan, { ...repair, end: at(150) }, { ...scan, start: at(200) })).toEqual(['in-order'])
  })

  it('does not count what no scan would show, unless something else was done with it', () => {
    const wash: Entry = { kind: 'repair', start: at(150), end: at(160), label: 'Final wash and polishing' }
    expect(messagesOf(wash, scan)).toEqual(['no-work'])
    expect(messagesOf({ ...wash, label: 'Bumper fitted and polished' }, scan)).toEqual(['out-of-order'])
  })

  it('takes what the report of the scan says of itself for a part of the scan', () => {
    const cleared = makeDate(at(125))
    const document = makeDocument('post-scan', 'post.pdf', {
      date: makeDate(at(120)),
      statements: [{ about: 'codes-cleared', text: 'codes cleared', date: cleared }],
    })
    const events = [
      makeEvent('clearing-1', cleared.earliest, cleared.latest, { file: 'post.pdf', label: 'codes cleared' }),
      makeEvent('post-scan-1', makeDate(at(120)).earliest, makeDate(at(120)).latest, { file: 'post.pdf' }),
    ]
    expect(messages(check, makePacket([document], { events }), parameters)).toEqual(['no-work'])
  })

  it('is undecided where a day or a time is missing, and uncertain where the clocks leave it open', () => {
    expect(messagesOf({ ...clearing, start: '2026-10-20' }, scan)).toEqual(['too-coarse'])
    expect(messagesOf({ kind: 'alignment' }, scan)).toEqual(['no-time'])
    const near = { end: ['2026-10-20T15:55:00Z', '2026-10-20T16:05:00Z'] } as const
    expect(messagesOf({ ...repair, end: at(119), bounds: near }, scan)).toEqual(['uncertain'])
  })

  it('is undecided without post-scan or without work', () => {
    expect(messagesOf(repair)).toEqual(['no-post-scan'])
    expect(messagesOf(scan)).toEqual(['no-work'])
  })
})
