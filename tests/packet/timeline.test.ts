import { describe, expect, it } from 'vitest'
import { at, calibration, dacet, end, file, orvane, packetOf, start } from './invented.ts'

const denver = { zone: 'America/Denver', places: {} }
const texts = (statements: readonly { text: string }[]): string[] => statements.map(({ text }) => text)

const record = (name: string, started: string, ended: string, instrument = dacet) =>
  file(name, 'calibration', { instrument, calibrations: [calibration({ started: at(started), ended: at(ended) })] })
const scanAt = (date: string, instrument = dacet) => file('after.pdf', 'post-scan', { instrument, date: at(date) })

describe('orders', () => {
  it('are certain on one instrument, whatever its clock and zone', () => {
    const packet = packetOf([record('cal.pdf', '2026-05-21T14:00', '2026-05-21T14:12'), scanAt('2026-05-21T14:13')])
    const { answer, because, gapSeconds } = packet.timeline.order(end('calibration-1'), start('post-scan-1'))
    expect(answer).toBe('certain')
    expect(gapSeconds).toEqual([0.001, 119.999])
    expect(texts(because)).toEqual([
      'cal.pdf says the calibration (front radar, dynamic) ended 2026-05-21T14:12 (clock of Dacet 640 A-01977; no zone printed)',
      'after.pdf says the scan was taken 2026-05-21T14:13 (clock of Dacet 640 A-01977; no zone printed)',
    ])
    expect(because[1]?.evidence).toEqual([
      { file: 'after.pdf', page: 1, box: [10, 10, 90, 20], text: '2026-05-21T14:13' },
    ])
  })

  it('are impossible on one instrument 40 minutes the wrong way round, by the two statements', () => {
    const packet = packetOf([record('cal.pdf', '2026-05-21T14:00', '2026-05-21T14:53'), scanAt('2026-05-21T14:13')])
    const { answer, because, gapSeconds } = packet.timeline.order(end('calibration-1'), start('post-scan-1'))
    expect(answer).toBe('impossible')
    expect(gapSeconds[1]).toBeLessThan(-39 * 60)
    expect(texts(because)).toHaveLength(2)
    expect(because.map(({ evidence }) => evidence[0]?.file)).toEqual(['cal.pdf', 'after.pdf'])
    expect(packet.timeline.conflict).toBeNull()
  })

  it('are only possible between two instruments 3 minutes apart, and certain 20 minutes apart', () => {
    const cal = record('cal.pdf', '2026-05-21T14:00', '2026-05-21T14:12')
    const near = packetOf([cal, scanAt('2026-05-21T14:15', orvane)]).timeline
    const answer = near.order(end('calibration-1'), start('post-scan-1'))
    expect(answer.answer).toBe('possible')
    expect(answer.because.at(-1)?.text).toContain('How far these clocks run ahead')
    expect(near.order(start('post-scan-1'), end('calibration-1')).answer).toBe('possible')

    const far = packetOf([cal, scanAt('2026-05-21T14:32', orvane)]).timeline
    const certain = far.order(end('calibration-1'), start('post-scan-1'))
    expect(certain.answer).toBe('certain')
    // Two readings, and how far each clock may be off; nothing else.
    expect(certain.because).toHaveLength(4)
    expect(texts(certain.because).filter((text) => text.includes('(assumption)'))).toHaveLength(2)
  })

  it('follow how far clocks may be off', () => {
    const documents = [record('cal.pdf', '2026-05-21T14:00', '2026-05-21T14:12'), scanAt('2026-05-21T14:15', orvane)]
    const packet = packetOf(documents, { options: { clockErrors: { instrument: 30 } } })
    expect(packet.timeline.order(end('calibration-1'), start('post-scan-1')).answer).toBe('certain')
  })

  it('are not decided within one printed minute', () => {
    const packet = packetOf([record('cal.pdf', '2026-05-21T14:00', '2026-05-21T14:12'), scanAt('2026-05-21T14:12')])
    const { answer, because } = packet.timeline.order(end('calibration-1'), start('post-scan-1'))
    expect(answer).toBe('possible')
    expect(because.at(-1)?.text).toBe('Times printed to the second would help to decide it')
  })

  it('are unknown where an event carries no time', () => {
    const packet = packetOf([
      file('cal.pdf', 'calibration', { calibrations: [calibration()] }),
      scanAt('2026-05-21T14:12'),
    ])
    const { answer, because } = packet.timeline.order(end('calibration-1'), start('post-scan-1'))
    expect(answer).toBe('unknown')
    expect(because.at(-1)?.text).toContain(
      'Nothing in the packet says when calibration "front radar, dynamic" (cal.pdf) ended',
    )
    expect(packet.timeline.order(start('calibration-1'), end('calibration-1')).answer).toBe('certain')
    expect(() => packet.timeline.order(start('calibration-2'), end('calibration-1'))).toThrow(
      'no event "calibration-2"',
    )
  })
})

describe('dates without a time of day', () => {
  const dated = (calibrationDate: string, scanDate: string) =>
    packetOf([
      file('cal.pdf', 'calibration', { date: at(calibrationDate), calibrations: [calibration()], instrument: orvane }),
      scanAt(scanDate),
    ]).timeline.order(end('calibration-1'), start('post-scan-1'))

  it('are whole days: certain on the next day, impossible on the day before, open on the same', () => {
    expect(dated('2026-05-21', '2026-05-22').answer).toBe('certain')
    expect(dated('2026-05-22', '2026-05-21').answer).toBe('impossible')
    const same = dated('2026-05-21', '2026-05-21')
    expect(same.answer).toBe('possible')
    expect(texts(same.because).some((text) => text.startsWith('A time of day would help'))).toBe(true)
  })

  it('say what was taken for granted', () => {
    const { because } = dated('2026-05-22', '2026-05-21')
    expect(texts(because)).toEqual([
      'the calibration (front radar, dynamic) is taken to have begun on the day that cal.pdf gives for it, 2026-05-22 (assumption)',
      'after.pdf says the scan was taken 2026-05-21 (clock of Dacet 640 A-01977; no time of day)',
    ])
  })

  it('mix with times of day', () => {
    expect(dated('2026-05-21T18:30', '2026-05-22').answer).toBe('certain')
    expect(dated('2026-05-21T18:30', '2026-05-21').answer).toBe('possible')
  })
})

describe('zones', () => {
  const gpx = file('drive.gpx', 'drive-log', {
    media: 'application/gpx+xml',
    drive: {
      started: at('2026-05-21T20:01:00+00:00'),
      ended: at('2026-05-21T20:14:00+00:00'),
      durationSeconds: 780,
      distanceMetres: 1,
      points: 700,
      movingSeconds: 1,
      meanSpeedKmh: 1,
      maxSpeedKmh: 1,
      start: null,
      end: null,
    },
  })
  const cal = record('cal.pdf', '2026-05-21T14:00', '2026-05-21T14:15')
  const photo = (taken: string) =>
    file('IMG_1.jpg', 'photo', {
      media: 'image/jpeg',
      photo: { taken: at(taken), location: null, camera: 'Pentaprism 5' },
    })

  it('are taken from packet.yaml', () => {
    const packet = packetOf([cal], { declaration: denver })
    expect(packet.events[0]).toMatchObject({
      earliestStart: '2026-05-21T19:55:00Z',
      latestStart: '2026-05-21T20:06:00Z',
      earliestEnd: '2026-05-21T20:10:00Z',
      latestEnd: '2026-05-21T20:21:00Z',
    })
    expect(packet.timeline.clocks[0]).toMatchObject({ zone: 'America/Denver', aheadSeconds: [-300, 300] })
  })

  it('stay unknown where none is printed, and leave 26 hours open', () => {
    const packet = packetOf([cal, gpx])
    const { answer, because } = packet.timeline.order(start('calibration-1'), start('drive-1'))
    expect(answer).toBe('possible')
    expect(because.at(-1)?.text).toContain('zone: in packet.yaml')
    expect(packet.timeline.clocks.find(({ id }) => id === 'instrument:A01977')?.zone).toBeNull()
    expect(packet.events.find(({ id }) => id === 'calibration-1')).toMatchObject({
      earliestStart: '2026-05-20T23:55:00Z',
      latestEnd: '2026-05-22T02:21:00Z',
    })
  })

  it('are one zone for all clocks that print none, so that a photo and a scan compare', () => {
    const packet = packetOf([cal, photo('2026-05-21T13:30:00')])
    const { answer, because } = packet.timeline.order(end('photo-1'), start('calibration-1'))
    expect(answer).toBe('certain')
    expect(because).toHaveLength(4)
    expect(texts(because).filter((text) => text.includes('one zone that clocks without a zone'))).toHaveLength(2)
    expect(
      packetOf([cal, photo('2026-05-21T13:56:00')]).timeline.order(end('photo-1'), start('calibration-1')).answer,
    ).toBe('possible')
  })

  it('are taken from the one offset that another clock prints, as a stated assumption', () => {
    const printed = file('before.pdf', 'pre-scan', { instrument: orvane, date: at('2026-05-20T09:00:00-06:00') })
    const { timeline } = packetOf([cal, gpx, printed])
    const { answer, because } = timeline.order(end('drive-1'), start('calibration-1'))
    expect(answer).toBe('impossible')
    expect(
      texts(because).some((text) => text.includes('taken to stand at -06:00, as the clock of Orvane Bay 77-3 prints')),
    ).toBe(true)
    expect(timeline.clocks.find(({ id }) => id === 'instrument:A01977')?.zone).toBe('-06:00')
  })

  it('are not assumed where two offsets are printed', () => {
    const mountain = file('before.pdf', 'pre-scan', { instrument: orvane, date: at('2026-05-20T09:00:00-06:00') })
    const central = file('other.pdf', 'scan', { date: at('2026-05-20T09:00:00-05:00') })
    const photoThere = { ...photo('2026-05-20T09:00:00-05:00'), file: 'IMG_2.jpg' }
    const { timeline } = packetOf([cal, gpx, mountain, central, photoThere])
    expect(timeline.order(end('drive-1'), start('calibration-1')).answer).toBe('possible')
  })

  it('are an hour open where a change of summer time may lie between', () => {
    const printed = file('before.pdf', 'pre-scan', { instrument: orvane, date: at('2026-03-06T09:00:00-07:00') })
    const later = record('cal.pdf', '2026-03-10T14:00', '2026-03-10T14:15')
    expect(packetOf([printed, later]).events.find(({ id }) => id === 'calibration-1')).toMatchObject({
      earliestStart: '2026-03-10T19:55:00Z',
      latestStart: '2026-03-10T22:06:00Z',
    })
  })

  it('are not assumed where times would contradict them', () => {
    const printed = file('before.pdf', 'pre-scan', { instrument: dacet, date: at('2026-03-06T09:00-06:00') })
    const mixed = (ended: string) =>
      packetOf([
        printed,
        file('cal.pdf', 'calibration', {
          instrument: dacet,
          calibrations: [
            calibration({ started: at('2026-03-10T14:00-06:00'), ended: at(ended), durationSeconds: 1200 }),
          ],
        }),
      ]).timeline
    expect(mixed('2026-03-10T14:20').clocks[0]?.zone).toBe('-06:00')
    expect(mixed('2026-03-10T14:20').conflict).toBeNull()
    // 20:20 is 14:20-06:00 in UTC: at -06:00 the calibration would have lasted six hours, in UTC it fits.
    expect(mixed('2026-03-10T20:20').conflict).toBeNull()
  })

  it('survive dates at the edge of the calendar', () => {
    const { events } = packetOf([
      file('a.pdf', 'pre-scan', { date: { ...at('2026-03-10'), local: '9999-12-30T12:00' } }),
      file('b.pdf', 'post-scan', { date: { ...at('2026-03-10'), local: '0000-01-02T00:00' } }),
    ])
    expect(events.map(({ earliestStart, latestEnd }) => [earliestStart?.slice(0, 4), latestEnd?.slice(0, 4)])).toEqual([
      ['9999', '9999'],
      ['0000', '0000'],
    ])
  })

  it('are kept by a clock that prints its own elsewhere', () => {
    const printed = file('before.pdf', 'pre-scan', { instrument: dacet, date: at('2026-05-20T09:00:00-06:00') })
    expect(packetOf([cal, printed]).events.find(({ id }) => id === 'calibration-1')?.earliestStart).toBe(
      '2026-05-21T19:55:00Z',
    )
  })
})

// New York 2026: 02:30 on 8 March does not exist; 01:30 on 1 November is 05:30Z or 06:30Z (IANA time zone database).
describe('changes of summer time', () => {
  const newYork = { declaration: { zone: 'America/New_York', places: {} }, options: { clockErrors: { instrument: 0 } } }
  const scan = (date: string) => packetOf([scanAt(date)], newYork).events[0]

  it('span both meanings of a repeated hour', () => {
    expect(scan('2026-11-01T01:30')).toMatchObject({
      earliestStart: '2026-11-01T05:30:00Z',
      latestEnd: '2026-11-01T06:31:00Z',
    })
  })

  it('span what a skipped hour may have meant', () => {
    const event = scan('2026-03-08T02:30')
    expect([event?.earliestStart, event?.latestEnd]).toEqual(['2026-03-08T06:30:00Z', '2026-03-08T07:31:00Z'])
  })

  it('count the hour that was skipped', () => {
    const skipped = packetOf(
      [
        file('cal.pdf', 'calibration', {
          instrument: dacet,
          calibrations: [
            calibration({ started: at('2026-03-08T01:50'), ended: at('2026-03-08T03:05'), durationSeconds: 900 }),
          ],
        }),
      ],
      newYork,
    )
    expect(skipped.timeline.conflict).toBeNull()
    const days = packetOf([scanAt('2026-03-08'), record('cal.pdf', '2026-03-07T23:40', '2026-03-07T23:59')], newYork)
    expect(days.timeline.order(end('calibration-1'), start('post-scan-1')).answer).toBe('certain')
  })
})

describe('contradictions', () => {
  const contradictoryAt = (position: string | null, name = 'cal.pdf') =>
    file(name, 'calibration', {
      instrument: dacet,
      calibrations: [
        calibration({
          position,
          started: at('2026-05-21T14:00'),
          ended: at('2026-05-21T14:12'),
          durationSeconds: 1800,
        }),
      ],
    })
  const contradictory = contradictoryAt(null)

  it('name the smallest set: start, end and duration', () => {
    const { timeline } = packetOf([contradictory, scanAt('2026-05-21T15:00')])
    expect(texts(timeline.conflict ?? [])).toEqual([
      'cal.pdf says the calibration (front radar, dynamic) started 2026-05-21T14:00 (clock of Dacet 640 A-01977; no zone printed)',
      'cal.pdf says the calibration (front radar, dynamic) ended 2026-05-21T14:12 (clock of Dacet 640 A-01977; no zone printed)',
      'cal.pdf says calibration "front radar, dynamic" took 30 min',
    ])
  })

  it('leave answers that hold whichever statement is wrong', () => {
    const { timeline } = packetOf([contradictory, scanAt('2026-05-21T15:00')])
    expect(timeline.order(end('calibration-1'), start('post-scan-1')).answer).toBe('certain')
    const close = packetOf([contradictory, scanAt('2026-05-21T14:20')]).timeline
    expect(close.order(end('calibration-1'), start('post-scan-1')).answer).toBe('possible')
  })

  it('see an end before its start', () => {
    const { timeline } = packetOf([record('cal.pdf', '2026-05-21T14:00', '2026-05-21T13:40')])
    expect(timeline.conflict).toHaveLength(2)
  })

  it('see two documents that end one calibration at two times', () => {
    const summary = file('summary.pdf', 'post-scan', {
      instrument: dacet,
      date: at('2026-05-21T16:00'),
      calibrations: [calibration({ started: at('2026-05-21T14:00'), ended: at('2026-05-21T14:52') })],
    })
    const { timeline, events } = packetOf([record('cal.pdf', '2026-05-21T14:00', '2026-05-21T14:12'), summary])
    expect(events.filter(({ kind }) => kind === 'calibration')).toHaveLength(1)
    expect((timeline.conflict ?? []).map(({ evidence }) => evidence[0]?.file)).toEqual(['cal.pdf', 'summary.pdf'])
  })

  it('allow for rounding and for waits that a duration need not count', () => {
    const lasting = (durationSeconds: number) =>
      packetOf([
        file('cal.pdf', 'calibration', {
          calibrations: [
            calibration({ started: at('2026-05-21T14:00'), ended: at('2026-05-21T14:12'), durationSeconds }),
          ],
        }),
      ]).timeline.conflict
    for (const seconds of [780, 720, 842 - 120, 600]) expect(lasting(seconds)).toBeNull()
    for (const seconds of [900, 500, 60]) expect(lasting(seconds)).toHaveLength(3)
  })

  it('do not come from a document that is dated wrongly', () => {
    const misdated = { ...record('cal.pdf', '2026-05-21T14:00', '2026-05-21T14:12'), date: at('2026-05-20T10:00') }
    expect(packetOf([misdated]).timeline.conflict).toBeNull()
  })

  it('do not come from orders that the trade requires', () => {
    const { timeline } = packetOf(
      [file('before.pdf', 'pre-scan', { instrument: dacet, date: at('2026-05-22T09:00') }), scanAt('2026-05-20T10:00')],
      { declaration: { intake: '2026-05-25', release: '2026-05-01', places: {} } },
    )
    expect(timeline.conflict).toBeNull()
  })

  it('keep answering when there are many', () => {
    const many = Array.from({ length: 12 }, (_, index) => contradictoryAt(`${index}`, `cal ${index}.pdf`))
    const { timeline } = packetOf([...many, scanAt('2026-05-21T23:00')])
    expect(timeline.conflict).toHaveLength(3)
    const { answer, because } = timeline.order(end('calibration-1'), start('post-scan-1'))
    expect(answer).toBe('unknown')
    expect(because.at(-1)?.text).toBe('It has to be settled first which of the contradictory times is true')
  })

  it('keep apart three that have nothing to do with each other', () => {
    const three = ['1', '2', '3'].map((name) => contradictoryAt(name, `cal ${name}.pdf`))
    const { timeline } = packetOf([...three, scanAt('2026-05-21T15:00')])
    expect(timeline.order(end('calibration-3'), start('post-scan-1')).answer).toBe('certain')
  })
})

describe('implied offsets', () => {
  const log = (started: string, ended: string, name = 'drive.gpx') =>
    file(name, 'drive-log', {
      media: 'application/gpx+xml',
      drive: {
        started: at(`${started}+00:00`),
        ended: at(`${ended}+00:00`),
        durationSeconds: null,
        distanceMetres: null,
        points: 700,
        movingSeconds: null,
        meanSpeedKmh: null,
        maxSpeedKmh: null,
        start: null,
        end: null,
      },
    })
  const cal = record('cal.pdf', '2026-05-21T15:00', '2026-05-21T15:13')
  const impliedOf = (packet: ReturnType<typeof packetOf>) =>
    packet.timeline.clocks.find(({ id }) => id === 'instrument:A01977')?.implied

  it('follow from the one drive and the one dynamic calibration', () => {
    const packet = packetOf([cal, log('2026-05-21T20:00:00', '2026-05-21T20:13:00')], { declaration: denver })
    const [implied] = impliedOf(packet) ?? []
    // Denver's 15:00 is 21:00Z: the instrument is an hour ahead, give or take a printed minute and two more.
    expect(implied?.against).toBe('receiver:of drive.gpx')
    expect(implied?.seconds).toEqual([3600 - 121, 3600 + 180])
    expect(implied?.because).toHaveLength(5)
    expect(packet.timeline.conflict).toBeNull()
  })

  it('are no closer than an overlap where the two do not last as long', () => {
    const packet = packetOf([cal, log('2026-05-21T20:55:00', '2026-05-21T21:40:00')], { declaration: denver })
    // The calibration of 21:00Z to 21:14Z may lie anywhere along the drive.
    expect(impliedOf(packet)?.[0]?.seconds).toEqual([-2401, 300 + 840])
  })

  it('leave room for a zone that is not known', () => {
    const packet = packetOf([cal, log('2026-05-21T20:00:00', '2026-05-21T20:13:00')])
    expect(impliedOf(packet)?.[0]?.seconds).toEqual([-18000 - 121 - 14 * 3600, -18000 + 180 + 12 * 3600])
    expect(texts(impliedOf(packet)?.[0]?.because ?? [])).toHaveLength(6)
  })

  it('are absent where nothing says which drive is which', () => {
    const drives = [
      log('2026-05-21T20:00:00', '2026-05-21T20:13:00'),
      log('2026-05-22T20:00:00', '2026-05-22T20:13:00', 'b.gpx'),
    ]
    expect(impliedOf(packetOf([cal, ...drives], { declaration: denver }))).toEqual([])
    expect(impliedOf(packetOf([cal], { declaration: denver }))).toEqual([])
  })

  describe('with as many drives as dynamic calibrations', () => {
    // 15:00 in Denver is 21:00Z; this instrument is 14 minutes ahead in both.
    const later = record('later.pdf', '2026-05-22T09:30', '2026-05-22T09:50')
    const first = log('2026-05-21T20:46:00', '2026-05-21T20:59:00')
    const second = log('2026-05-22T15:16:00', '2026-05-22T15:36:00', 'b.gpx')
    const of = (...documents: Parameters<typeof packetOf>[0]) => impliedOf(packetOf(documents, { declaration: denver }))

    it('follow where one pairing alone fits them all with one offset, in whatever order they come', () => {
      const implied = of(cal, later, second, first) ?? []
      expect(implied.map(({ against }) => against).sort()).toEqual(['receiver:of b.gpx', 'receiver:of drive.gpx'])
      for (const { seconds } of implied) {
        expect(seconds[0]).toBeLessThanOrEqual(14 * 60)
        expect(seconds[1]).toBeGreaterThanOrEqual(14 * 60)
        expect(seconds[1] - seconds[0]).toBeLessThan(400)
      }
    })

    it('are absent where no offset fits both, or the lengths do not', () => {
      expect(of(cal, later, first, log('2026-05-22T15:30:00', '2026-05-22T15:50:00', 'b.gpx'))).toEqual([])
      expect(of(cal, later, first, log('2026-05-22T15:16:00', '2026-05-22T16:36:00', 'b.gpx'))).toEqual([])
    })

    it('are absent where two pairings fit', () => {
      // Both calibrations and both drives at one time: either may be of either.
      const twin = record('twin.pdf', '2026-05-21T15:00', '2026-05-21T15:13')
      expect(of(cal, twin, first, log('2026-05-21T20:46:00', '2026-05-21T20:59:00', 'b.gpx'))).toEqual([])
    })
  })
})
