/** The checks that compare a job with the dates that frame it, on the real timeline. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Check } from '../../../src/checks/check.ts'
import { jobInsideClaim } from '../../../src/checks/order/job-inside-claim.ts'
import { photosInsideJob } from '../../../src/checks/order/photos-inside-job.ts'
import { postScanFresh } from '../../../src/checks/order/post-scan-fresh.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { at, calibration, dacet, file, packetOf } from '../../packet/invented.ts'
import { generalParameters } from '../general.ts'
import { runCheck } from '../run-check.ts'

const zone = 'America/Denver'
const frame: Declaration = {
  zone,
  loss: '2026-05-11',
  intake: '2026-05-18T08:10',
  release: '2026-05-22T11:30',
  places: {},
}
const preScan = file('pre.pdf', 'pre-scan', { date: at('2026-05-18T08:41'), instrument: dacet })
const postScan = file('post.pdf', 'post-scan', { date: at('2026-05-21T14:03'), instrument: dacet })
const radar = (day: string) =>
  file('radar.pdf', 'calibration', {
    instrument: dacet,
    calibrations: [calibration({ started: at(`${day}T13:12`), ended: at(`${day}T13:24`) })],
  })
const photo = (name: string, taken: string) =>
  file(name, 'photo', { media: 'image/jpeg', photo: { taken: at(taken), location: null, camera: 'Teallo S9' } })

function outcomesOf(check: Check, documents: DocumentFacts[], declaration: Declaration | null = frame) {
  return runCheck(check, packetOf(documents, { declaration }), generalParameters(check.id))
}
const messagesOf = (...parts: Parameters<typeof outcomesOf>) => outcomesOf(...parts).map(({ message }) => message)
const { loss: _loss, ...unlost } = frame
const { intake: _intake, release: _release, ...unframed } = unlost

describe('photos-inside-job', () => {
  const messages = (taken: string, declaration: Declaration | null = frame) =>
    messagesOf(photosInsideJob, [photo('a.jpg', taken), preScan, postScan], declaration)

  it('is met by a photo between intake and release, whether its zone is printed or not', () => {
    expect(messages('2026-05-20T10:00:00-06:00')).toEqual(['inside'])
    expect(messages('2026-05-20T10:00:00')).toEqual(['inside'])
  })

  it('is unmet by a photo from before the loss or from after the release', () => {
    expect(messages('2026-05-10T10:00:00-06:00')).toEqual(['before-loss'])
    expect(messages('2026-05-22T13:00:00-06:00')).toEqual(['after-release'])
    expect(outcomesOf(photosInsideJob, [photo('a.jpg', '2026-05-22T13:00:00-06:00')])[0]).toMatchObject({
      data: { file: 'a.jpg', bound: 'release 2026-05-22T11:30' },
    })
  })

  it('makes nothing of a photo of the damage, unless it is old and no loss is known', () => {
    expect(messages('2026-05-13T10:00:00-06:00')).toEqual(['before-intake'])
    expect(messages('2026-05-13T10:00:00-06:00', unlost)).toEqual(['before-intake'])
    expect(messages('2026-03-13T10:00:00-06:00', unlost)).toEqual(['long-before'])
  })

  it('counts only what is outside for certain: a phone on the road, a clock a minute off', () => {
    expect(messages('2026-05-22T11:30:40-06:00')).toEqual(['inside'])
    expect(messages('2026-05-22T11:29:00-05:00')).toEqual(['inside'])
  })

  it('without dates of the job tells only of a photo that is far from all work', () => {
    expect(messages('2026-05-25T10:00:00-06:00', unframed)).toEqual(['inside'])
    expect(messages('2026-02-20T10:00:00-06:00', unframed)).toEqual(['far-from-job'])
    expect(messages('2026-08-20T10:00:00-06:00', unframed)).toEqual(['far-from-job'])
    expect(messagesOf(photosInsideJob, [photo('a.jpg', '2026-05-20T10:00:00')], null)).toEqual(['not-told'])
  })

  it('takes the loss from an estimate, and tells of each photo outside beside those inside', () => {
    const estimate = file('estimate.pdf', 'estimate', { lossDate: at('2026-05-11') })
    const photos = [photo('a.jpg', '2026-05-20T10:00:00-06:00'), photo('b.jpg', '2026-05-01T10:00:00-06:00')]
    expect(messagesOf(photosInsideJob, [...photos, estimate], unlost)).toEqual(['inside', 'before-loss'])
  })

  it('is undecided without a time', () => {
    expect(messagesOf(photosInsideJob, [preScan])).toEqual(['no-time'])
  })
})

describe('job-inside-claim', () => {
  const invoice = (day: string, more: Partial<DocumentFacts> = {}) =>
    file('invoice.pdf', 'invoice', { date: at(day), ...more })
  const charged: Partial<DocumentFacts> = {
    operations: [
      { text: 'Front radar calibration', calls: ['front-radar'], billed: true, kind: 'calibration', method: 'dynamic' },
      { text: 'Pre-scan', calls: [], billed: true, kind: 'scan', scan: 'before' },
    ],
  }

  it('is met where loss, intake, work, invoice and release follow each other, on one day or on many', () => {
    const papers = [preScan, radar('2026-05-21'), postScan, invoice('2026-05-21', charged)]
    expect(outcomesOf(jobInsideClaim, papers)[0]).toMatchObject({
      message: 'inside',
      data: {
        bounds: ['loss 2026-05-11', 'intake 2026-05-18T08:10', 'release 2026-05-22T11:30', 'invoice 2026-05-21'],
      },
    })
    const oneDay: Declaration = { zone, loss: '2026-05-18', intake: '2026-05-18', release: '2026-05-18', places: {} }
    expect(messagesOf(jobInsideClaim, [preScan, radar('2026-05-18')], oneDay)).toEqual(['inside'])
  })

  it('is unmet by a loss after the vehicle came in, or after the work where no intake is told', () => {
    expect(messagesOf(jobInsideClaim, [preScan], { ...frame, loss: '2026-05-19' })).toEqual(['loss-after'])
    const estimate = file('estimate.pdf', 'estimate', { lossDate: at('2026-05-20') })
    const [outcome] = outcomesOf(jobInsideClaim, [preScan, estimate], unframed)
    expect(outcome).toMatchObject({ message: 'loss-after', data: { loss: '2026-05-20', event: 'pre-scan' } })
  })

  it('is unmet where two papers give two dates of loss', () => {
    const estimate = file('estimate.pdf', 'estimate', { lossDate: at('2026-05-09') })
    expect(messagesOf(jobInsideClaim, [preScan, estimate])).toEqual(['losses-differ'])
  })

  it('is unmet by work before the intake or after the release', () => {
    expect(messagesOf(jobInsideClaim, [preScan, radar('2026-05-16')])).toEqual(['before-intake'])
    expect(outcomesOf(jobInsideClaim, [preScan, radar('2026-05-23')])[0]).toMatchObject({
      message: 'after-release',
      data: { events: ['front radar, dynamic'], files: ['radar.pdf'], bound: '2026-05-22T11:30' },
    })
  })

  it('is unmet where work was charged before it was done, and not for other work on the same paper', () => {
    const early = invoice('2026-05-19', charged)
    expect(outcomesOf(jobInsideClaim, [preScan, radar('2026-05-21'), early])).toMatchObject([
      { message: 'charged-before-done', data: { line: 'Front radar calibration', dated: '2026-05-19' } },
    ])
    const again = { ...radar('2026-05-18'), file: 'first run.pdf' }
    expect(messagesOf(jobInsideClaim, [preScan, radar('2026-05-21'), again, early])).toEqual(['inside'])
    expect(messagesOf(jobInsideClaim, [preScan, radar('2026-05-21'), invoice('2026-05-19')])).toEqual(['inside'])
  })

  it('is undecided without dates on either side', () => {
    expect(messagesOf(jobInsideClaim, [preScan], unframed)).toEqual(['no-frame'])
    expect(messagesOf(jobInsideClaim, [])).toEqual(['no-work'])
  })

  it('never holds against a job what its own dates allow', () => {
    const day = fc.integer({ min: 10, max: 28 }).map((number) => `2026-05-${number}`)
    fc.assert(
      fc.property(fc.tuple(day, day, day, day), (days) => {
        const [loss = '', intake = '', done = '', release = ''] = days.toSorted()
        const declaration: Declaration = { zone, loss, intake, release, places: {} }
        const papers = [radar(done), invoice(release, charged)]
        expect(messagesOf(jobInsideClaim, papers, declaration)).toEqual(['inside'])
      }),
      { numRuns: 60 },
    )
  })
})

describe('post-scan-fresh', () => {
  const scanOn = (date: string, more: Partial<DocumentFacts> = {}) =>
    file('post.pdf', 'post-scan', { date: at(date), instrument: dacet, ...more })

  it('is met by a scan on the day before, whether the release is timed or a day', () => {
    expect(messagesOf(postScanFresh, [postScan])).toEqual(['fresh'])
    expect(messagesOf(postScanFresh, [postScan], { ...frame, release: '2026-05-22' })).toEqual(['fresh'])
    expect(messagesOf(postScanFresh, [scanOn('2026-05-22')])).toEqual(['fresh'])
  })

  it('is unmet by one from more than three days before', () => {
    expect(outcomesOf(postScanFresh, [scanOn('2026-05-19T10:00')])[0]).toMatchObject({
      message: 'stale',
      data: { days: 3.1, mostDays: 3 },
    })
    expect(messagesOf(postScanFresh, [scanOn('2026-05-18T10:00'), { ...postScan, file: 'last.pdf' }])).toEqual([
      'fresh',
    ])
  })

  it('is undecided where the days leave it open, or the scan is not before the release', () => {
    expect(messagesOf(postScanFresh, [scanOn('2026-05-19')])).toEqual(['too-coarse'])
    expect(messagesOf(postScanFresh, [scanOn('2026-05-23T10:00')])).toEqual(['after-release'])
  })

  it('reads the release from a paper', () => {
    const statements: DocumentFacts['statements'] = [
      { about: 'released', text: 'Released 26 May 2026', date: at('2026-05-26') },
    ]
    const papers = [postScan, file('invoice.pdf', 'invoice', { statements })]
    expect(messagesOf(postScanFresh, papers, unframed)).toEqual(['stale'])
  })

  it('is unmet where the vehicle was driven on by more than fifty miles, in either unit', () => {
    const scan = scanOn('2026-05-21T14:03', { odometer: { value: 48_220, unit: 'mi' } })
    const bill = (value: number, unit: 'mi' | 'km') => file('invoice.pdf', 'invoice', { odometer: { value, unit } })
    expect(messagesOf(postScanFresh, [scan, bill(48_270, 'mi')])).toEqual(['fresh'])
    expect(messagesOf(postScanFresh, [scan, bill(48_271, 'mi')])).toEqual(['fresh', 'driven-on'])
    // 48,271 mi are 77,684.6 km by the mile of 1959 (1.609344 km).
    expect(messagesOf(postScanFresh, [scan, bill(77_685, 'km')], unframed)).toEqual(['driven-on'])
    expect(messagesOf(postScanFresh, [scan, bill(48_210, 'mi')])).toEqual(['fresh'])
  })

  it('is undecided without release or without a post-scan', () => {
    expect(messagesOf(postScanFresh, [postScan], unframed)).toEqual(['no-release'])
    expect(messagesOf(postScanFresh, [preScan])).toEqual(['no-post-scan'])
  })
})
