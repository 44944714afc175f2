import { expect, test } from 'vitest'
import { peopleInOnePlace as check } from '../../../src/checks/documents/people-in-one-place.ts'
import type { ArchiveAnswer, SharedTime } from '../../../src/packet/packet.ts'
import { general, generalParameters } from '../general.ts'
import { makeDocument, makeEvent, makePacket, makePlace, vin } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'

const shared = (rest: Partial<SharedTime> = {}): SharedTime => ({
  who: 'instrument',
  name: 'A-01977',
  file: 'cal.pdf',
  label: 'front radar, static',
  other: { accession: '2026-0007', vin: '7XMTD4FE4PA207483', job: null, shop: null },
  otherFile: 'camera.pdf',
  otherLabel: 'front camera, static',
  from: '2026-03-14T15:20:00Z',
  to: '2026-03-14T15:40:00Z',
  isOnePerson: true,
  ...rest,
})

function judge(elsewhere: SharedTime[], rest: Partial<ArchiveAnswer> = {}) {
  const event = makeEvent('calibration-1', '2026-03-14T15:00:00Z', '2026-03-14T15:40:00Z', {
    file: 'cal.pdf',
    label: 'front radar, static',
    evidence: [{ file: 'cal.pdf', ...makePlace('started 15:00') }],
  })
  const packet = makePacket([makeDocument('calibration', 'cal.pdf')], { events: [event] })
  const archive = { archive: 'archive.example/bay', packets: 40, seen: [], elsewhere, engagements: 2, ...rest }
  return runCheck(check, { ...packet, archive }, generalParameters(check.id))
}

test('nobody is elsewhere', () => {
  expect(judge([])).toMatchObject([{ state: 'met', message: 'apart', data: { stretches: 2, packets: 40 } }])
})

test.each<[SharedTime, string]>([
  [shared(), 'instrument-in-two'],
  [shared({ who: 'technician', name: 'Marlo Tresk' }), 'person-in-two'],
])('at work on two vehicles at once', (one, message) => {
  expect(judge([one])).toMatchObject([
    { state: 'unmet', message, data: { other: '2026-0007' }, evidence: [{ text: 'started 15:00' }] },
  ])
  expect(general.rules[check.id]?.severity[message]).toBe('warn')
})

test.each<[string, SharedTime]>([
  ['a session that was closed late', shared({ to: '2026-03-14T15:24:00Z' })],
  ['an overlap up to the limit', shared({ to: '2026-03-14T15:25:00Z' })],
  ['the same vehicle, received twice', shared({ other: { accession: '2026-0007', vin, job: null, shop: null } })],
])('%s is none', (_, one) => {
  expect(judge([one])).toMatchObject([{ message: 'apart' }])
})

test('beyond the limit it is one', () => {
  expect(judge([shared({ to: '2026-03-14T15:25:01Z' })])).toMatchObject([{ message: 'instrument-in-two' }])
})

test.each<[string, SharedTime[], Partial<ArchiveAnswer>, string]>([
  ['a name that two people may have', [shared({ who: 'technician', isOnePerson: false })], {}, 'one-name'],
  ['a packet of an unknown vehicle', [shared({ other: { ...shared().other, vin: null } })], {}, 'vehicle-unclear'],
  ['no stretch of work that is certain', [], { engagements: 0 }, 'nothing-certain'],
  ['an empty archive', [], { packets: 0 }, 'nothing-to-compare'],
])('%s: undecided', (_, elsewhere, rest, message) => {
  expect(judge(elsewhere, rest)).toMatchObject([{ state: 'undecided', message }])
})

test('no archive was asked', () => {
  const found = runCheck(check, makePacket([makeDocument('calibration', 'cal.pdf')]), generalParameters(check.id))
  expect(found).toMatchObject([{ state: 'undecided', message: 'not-asked' }])
})
