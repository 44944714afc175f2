/** What the office keeps of a clean job: estimate, invoice, sublet invoice, the release sheet, photographs, packet.yaml. */

import { stampText } from './clocks.ts'
import type { AnyPaper, BillLine, Declared, PhotoPaper } from './draft.ts'
import { headOf, type Job } from './story.ts'

const round = (amount: number): number => Math.round(amount * 100) / 100

/** A line that replaces one sensor names the part fitted. */
function withPart({ work, profile }: Job, line: string): string {
  const fitted = /^front radar, replace/i.test(line)
    ? work.calibrations.find(({ sensor }) => sensor === 'front-radar')
    : undefined
  return profile === 'complete' && fitted?.part ? `${line}, part no. ${fitted.part}` : line
}

function linesOf(job: Job): BillLine[] {
  const { work, chance, sublet, shop } = job
  const scan = chance.whole(60, 90)
  const repairs = work.repairs.map(
    ({ line, amount }): BillLine => ({ text: withPart(job, line), amount, of: 'repair' }),
  )
  const alignment: BillLine[] = work.alignment ? [{ text: 'Four wheel alignment', amount: 149, of: 'alignment' }] : []
  const calibrations = work.calibrations.map(({ name, method, sensor, position }): BillLine => {
    const text = `${name} calibration, ${method}`
    return {
      text: sublet ? `Sublet ${shop.sublet.name}: ${text}` : text,
      amount: round(chance.whole(120, 320)),
      of: 'calibration',
      calibration: { sensor, position, method },
    }
  })
  return [
    { text: 'Pre-repair scan', amount: scan, of: 'scan-before' },
    ...repairs,
    ...alignment,
    ...calibrations,
    { text: 'Post-repair scan', amount: scan, of: 'scan-after' },
  ]
}

export function billsOf(job: Job): AnyPaper[] {
  const { shop, bench, chance } = job
  const clock = bench.office
  const lines = linesOf(job)
  const format = chance.pick(['pdf', 'pdf', 'txt'] as const)
  const base = {
    kind: 'bill',
    format,
    layout: bench.officeLayout,
    missingPage: 0,
    dating: 'full',
    notes: [] as string[],
    loss: job.profile === 'complete' ? job.loss : null,
    preparedBy: shop.people.writer,
  } as const
  const bill = (which: 'estimate' | 'invoice', at: number, miles: number): AnyPaper => ({
    ...base,
    which,
    file: `${which} ${job.number}.${format}`,
    head: headOf(job, { clock, miles: Math.round(miles), technician: null, instrument: null }),
    issuer: shop.name,
    made: at + 60,
    number: chance.code('#####'),
    at,
    lines: structuredClone(lines),
  })
  const last = Math.max(...job.performed.map(({ ended }) => ended))
  const sublets: AnyPaper[] = job.sublet
    ? [
        {
          ...base,
          which: 'sublet',
          file: `sublet invoice ${job.number}.${format}`,
          head: headOf(job, { clock: { ...clock, aheadSeconds: 0 }, miles: null, technician: null, instrument: null }),
          issuer: shop.sublet.name,
          preparedBy: null,
          loss: null,
          made: last + 1800,
          number: chance.code('S-####'),
          at: last + 1740,
          notes: [`Bill to: ${shop.name}`],
          lines: lines
            .filter(({ of }) => of === 'calibration')
            .map((line) => ({ ...line, text: line.text.replace(/^Sublet [^:]*: /, '') })),
        },
      ]
    : []
  return [bill('estimate', job.estimate, job.milesIn), ...sublets, bill('invoice', job.invoice, job.milesOut)]
}

/** The release sheet: who looked over what, and why codes of the first scan are gone. */
export function noteOf(job: Job, calibrations: readonly AnyPaper[]): AnyPaper[] {
  const { profile, shop, bench, chance } = job
  const clock = bench.office
  const explained = [...job.codesBefore].flatMap(([module, codes]) =>
    job.codesAfter.has(module)
      ? codes.map(({ code }) => `${code} in ${module}: old history entry, not related to this repair, left as found.`)
      : codes.map(({ code }) => `${code} in ${module}: caused by the damage, repaired and cleared.`),
  )
  const failed = calibrations
    .flatMap((paper) => (paper.kind === 'calibration' ? paper.entries : []))
    .filter(({ attempts }) => attempts.length > 0)
  const disclosed = failed.map(
    ({ name, attempts }) =>
      `First attempt of the ${name.toLowerCase()} calibration failed at ${attempts[0]?.progress} %, traffic; repeated and completed.`,
  )
  const cleared =
    job.codesBefore.size > job.codesAfter.size ? [`Fault codes cleared ${stampText(clock, job.cleared)}`] : []
  if (profile === 'ordinary' && explained.length + disclosed.length === 0 && chance.likely(0.6)) return []
  const format = chance.pick(['pdf', 'txt'] as const)
  return [
    {
      kind: 'note',
      title: chance.pick(['Release sheet', 'Quality control sheet', 'Final inspection sheet']),
      file: `release sheet ${job.number}.${format}`,
      format,
      layout: chance.whole(0, 2),
      head: headOf(job, { clock, miles: null, technician: null, instrument: null }),
      made: job.checked + 60,
      missingPage: 0,
      dating: 'full',
      at: job.checked,
      fields: profile === 'complete' ? [['Reviewed and released by', shop.people.reviewer]] : [],
      lines: [...cleared, ...explained, ...disclosed, 'No warning lamps lit. Vehicle clean.'],
    },
  ]
}

export function photosOf(job: Job, calibrations: readonly AnyPaper[]): PhotoPaper[] {
  const { profile, shop, bench, chance } = job
  const complete = profile === 'complete'
  const phone = chance.pick(['Corrin Pocket 8 Camera', 'Tallow Snapper Five', 'Marl Eleven Compact'])
  let number = chance.whole(1000, 8000)
  const photo = (of: PhotoPaper['of'], taken: number, text: string): PhotoPaper => {
    number += chance.whole(1, 9)
    return {
      kind: 'photo',
      of,
      file:
        of === 'targets'
          ? `target setup ${text} ${number}.jpg`
          : `IMG_${number}${of === 'vin' ? ' vin' : of === 'label' ? ' sensor label' : ''}.jpg`,
      format: 'pdf',
      layout: 0,
      head: headOf(job, {
        clock: { ...bench.office, aheadSeconds: 0, printsZone: true },
        miles: null,
        technician: null,
        instrument: null,
      }),
      made: taken,
      missingPage: 0,
      dating: 'full',
      taken,
      text,
      camera: phone,
      software: null,
      latitude: shop.latitude + 0.00003 * chance.normal(),
      longitude: shop.longitude + 0.00003 * chance.normal(),
      seed: number,
    }
  }
  const photos: PhotoPaper[] = []
  if (complete ? chance.likely(0.7) : chance.likely(0.2)) photos.push(photo('vin', job.intake + 300, job.vehicle.vin))
  const entries = calibrations.flatMap((paper) => (paper.kind === 'calibration' ? paper.entries : []))
  for (const { sensor, method, serial, started } of entries) {
    if (serial && (complete || chance.likely(0.3)) && !photos.some(({ text }) => text === serial))
      photos.push(photo('label', job.repair.started + 1200, serial))
    if (complete && method === 'static' && started && !photos.some(({ text }) => text === sensor.replace('-', ' ')))
      photos.push(photo('targets', started + 180, sensor.replace('-', ' ')))
  }
  return photos
}

export function declaredOf(job: Job): Declared {
  const { shop, work, vehicle } = job
  const { people } = shop
  return {
    zone: shop.zone,
    job: job.number,
    claim: job.claim,
    vin: vehicle.vin,
    plate: vehicle.plate,
    loss: job.loss,
    intake: job.intake,
    release: job.release,
    repairs: work.repairs.map(({ what }) => ({ what, ...job.repair })),
    calibrations: work.calibrations.map(({ sensor, method, position }) => ({ sensor, method, position })),
    notNeeded: work.notNeeded,
    people: [
      { name: people.lead, role: 'technician' },
      { name: people.second, role: 'observer' },
      { name: people.reviewer, role: 'reviewer' },
    ],
  }
}
