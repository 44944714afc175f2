import { describe, expect, it } from 'vitest'
import { parseDeclaration } from '../../src/packet/declaration.ts'
import { at, calibration, dacet, end, file, packetOf, start } from './invented.ts'

const drive = (facts: object) => ({
  started: null,
  ended: null,
  durationSeconds: null,
  distanceMetres: null,
  points: 0,
  movingSeconds: null,
  meanSpeedKmh: null,
  maxSpeedKmh: null,
  start: null,
  end: null,
  ...facts,
})

describe('events', () => {
  it('are numbered by kind in the order of files', () => {
    const packet = packetOf([
      file('z.pdf', 'post-scan', { date: at('2026-05-22') }),
      file('b.pdf', 'calibration', { calibrations: [calibration({ sensor: 'front-camera', method: 'static' })] }),
      file('a.pdf', 'calibration', {
        calibrations: [calibration({ position: 'left', sensor: 'corner-radar' }), calibration({ method: 'unknown' })],
      }),
      file('c.pdf', 'alignment', { alignment: { values: [], outcome: 'completed' }, date: at('2026-05-20') }),
      file('d.gpx', 'drive-log', { drive: drive({ points: 3 }) }),
      file('e.jpg', 'photo', { photo: { taken: null, location: null } }),
      file('f.pdf', 'pre-scan'),
      file('g.pdf', 'invoice', { calibrations: [calibration()], date: at('2026-05-23') }),
      file('h.pdf', 'scan'),
    ])
    expect(packet.events.map(({ id, file: name, label, calibration: at }) => [id, name, label, at])).toEqual([
      ['pre-scan-1', 'f.pdf', 'pre-scan', undefined],
      ['alignment-1', 'c.pdf', 'wheel alignment', undefined],
      ['calibration-1', 'a.pdf', 'left corner radar, dynamic', 0],
      ['calibration-2', 'a.pdf', 'front radar', 1],
      ['calibration-3', 'b.pdf', 'front camera, static', 0],
      ['drive-1', 'd.gpx', 'drive', undefined],
      ['post-scan-1', 'z.pdf', 'post-scan', undefined],
      ['photo-1', 'e.jpg', 'photo', undefined],
    ])
    expect(packet.events.map(({ document }) => packet.documents[document ?? -1]?.file)).toEqual(
      packet.events.map((event) => event.file),
    )
    expect(packet.events[0]).toMatchObject({ clock: null, earliestStart: null, latestEnd: null })
  })

  it('come from the declaration with their places', () => {
    const { declaration } = parseDeclaration(`packet: 1
zone: America/Denver
intake: 2026-03-09T08:10
release: 2026-03-14
repairs:
  - what: Windshield replaced
    ended: 2026-03-12T15:00
  - what: Mirror painted
`)
    const { events } = packetOf([], { declaration })
    expect(events.map(({ id, document, file: name }) => [id, document, name])).toEqual([
      ['intake-1', null, 'packet.yaml'],
      ['repair-1', null, 'packet.yaml'],
      ['repair-2', null, 'packet.yaml'],
      ['release-1', null, 'packet.yaml'],
    ])
    // Denver: 08:10 is 14:10Z since summer time began on 2026-03-08; five minutes either way.
    expect(events[0]).toMatchObject({ earliestStart: '2026-03-09T14:05:00Z', latestEnd: '2026-03-09T14:16:00Z' })
    expect(events[1]).toMatchObject({
      label: 'Windshield replaced',
      earliestStart: null,
      latestEnd: '2026-03-12T21:06:00Z',
    })
    expect(events[1]?.evidence[0]).toMatchObject({ text: 'ended: 2026-03-12T15:00', box: [5, 7, 28, 7] })
    expect(events[2]).toMatchObject({ label: 'Mirror painted', latestEnd: null, clock: null })
    expect(events[3]).toMatchObject({ earliestStart: '2026-03-14T06:00:00Z', latestEnd: '2026-03-15T06:00:00Z' })
  })

  it('come from dated statements about clearing, repair and release', () => {
    const { events } = packetOf([
      file('note.txt', 'statement', {
        statements: [
          { about: 'codes-cleared', text: 'codes cleared 17-SEP-2026', date: at('2026-09-17') },
          { about: 'released', text: 'handed over 18-SEP-2026', date: at('2026-09-18') },
          { about: 'codes-cleared', text: 'codes cleared' },
        ],
      }),
    ])
    expect(events.map(({ id, label }) => [id, label])).toEqual([
      ['clearing-1', 'codes cleared 17-SEP-2026'],
      ['release-1', 'handed over 18-SEP-2026'],
    ])
  })

  it('do not come from a calibration that was not performed', () => {
    const document = file('a.pdf', 'calibration', { calibrations: [calibration({ outcome: 'not-performed' })] })
    expect(packetOf([document]).events).toEqual([])
  })

  it('stay apart for one calibration in two documents unless it is the same to the minute', () => {
    const record = file('a.pdf', 'calibration', { calibrations: [calibration({ started: at('2026-05-21T14:00') })] })
    const summary = (started: string) =>
      file('b.pdf', 'scan', { calibrations: [calibration({ started: at(started) })] })
    expect(packetOf([record, summary('2026-05-21T14:00')]).events).toHaveLength(1)
    expect(packetOf([record, summary('2026-05-21T14:01')]).events).toHaveLength(2)
    expect(packetOf([record, file('b.pdf', 'scan', { calibrations: [calibration()] })]).events).toHaveLength(2)
  })
})

describe('what stands in for times that a record does not state', () => {
  const utc = { declaration: { zone: 'Etc/UTC', places: {} }, options: { clockErrors: { instrument: 0, logger: 0 } } }
  const boundsOf = (calibrated: Parameters<typeof calibration>[0], date = '2026-05-21T15:02') => {
    const document = file('a.pdf', 'calibration', {
      instrument: dacet,
      date: at(date),
      calibrations: [calibration(calibrated)],
    })
    const event = packetOf([document], utc).events[0]
    return [event?.earliestStart, event?.latestStart, event?.earliestEnd, event?.latestEnd].map((each) =>
      each?.slice(5, 16),
    )
  }

  it('is the date of the record', () => {
    expect(boundsOf({})).toEqual(['05-21T00:00', '05-21T15:03', '05-21T00:00', '05-21T15:03'])
  })

  it('allows for a record that stamps the beginning', () => {
    expect(boundsOf({ durationSeconds: 840 })[3]).toBe('05-21T15:17')
  })

  it('is the duration where one of both is stated', () => {
    expect(boundsOf({ started: at('2026-05-21T14:00'), durationSeconds: 600 })).toEqual([
      '05-21T14:00',
      '05-21T14:01',
      '05-21T14:09',
      '05-21T14:13',
    ])
  })

  it('is the date of the record for the end, but not one that lies before the start', () => {
    expect(boundsOf({ started: at('2026-05-21T14:00') })[3]).toBe('05-21T15:03')
    expect(boundsOf({ started: at('2026-05-21T16:00') })[3]).toBeUndefined()
  })

  it('is the moment at which a record without a date was photographed', () => {
    const photo = { taken: at('2026-05-21T14:00:00+00:00'), location: null, camera: 'Pentaprism 5' }
    const { events } = packetOf([
      file('a.jpg', 'post-scan', { photo }),
      file('b.jpg', 'calibration', { photo, calibrations: [calibration()] }),
    ])
    expect(events.map(({ id, latestEnd, earliestEnd }) => [id, latestEnd, earliestEnd])).toEqual([
      ['calibration-1', '2026-05-21T14:01:01Z', null],
      ['post-scan-1', '2026-05-21T14:01:01Z', null],
      ['photo-1', '2026-05-21T14:01:01Z', '2026-05-21T13:59:00Z'],
      ['photo-2', '2026-05-21T14:01:01Z', '2026-05-21T13:59:00Z'],
    ])
  })

  it('is the day of the end for the start', () => {
    expect(boundsOf({ ended: at('2026-05-21T14:00') })[0]).toBe('05-21T00:00')
  })

  it('counts the stated duration of a drive that has no track', () => {
    const stated = { started: at('2026-05-21T14:00'), ended: at('2026-05-21T14:10'), durationSeconds: 3000 }
    const log = (points: number) => file('trip.pdf', 'drive-log', { drive: drive({ ...stated, points }) })
    expect(packetOf([log(0)]).timeline.conflict).toHaveLength(3)
    expect(packetOf([log(500)]).timeline.conflict).toBeNull()
    expect(packetOf([log(500)]).timeline.order(start('drive-1'), end('drive-1')).answer).toBe('certain')
  })
})
