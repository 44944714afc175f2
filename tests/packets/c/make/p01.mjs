// Clean, with packet.yaml: bumper, grille and a new front radar; one drive, two runs.
import { writeFileSync } from 'node:fs'
import { asGpx, measure, road } from './drives.mjs'
import { bill, estimate } from './p01-bills.mjs'
import { car, claimNumber, common, radarSerial, shop, vin } from './p01-job.mjs'
import { at, chrome, draw, esc, photo, redate, sum } from './tools.mjs'

const reader = { name: 'Brantling Sweep 4', serial: 'SW4-008813', software: '9.2.0' }
const NAMES = [
  'Engine ECU',
  'Transmission ECU',
  'Brake ECU',
  'Steering ECU',
  'Airbag ECU',
  'Body ECU',
  'Instrument cluster',
  'Front radar unit',
  'Windshield camera',
  'Blind spot unit left',
  'Blind spot unit right',
  'Parking sonar',
]
const WORD = { active: 'current', stored: 'past' }

// Values on a rule with the label in small print beneath; codes listed under the name of their module.
function readout(out, { title, date, miles, milesLabel, volts, codes, no }) {
  const fields = [
    [vin, 'Chassis no.', 5],
    [date, 'Read on', 4],
    [miles.toLocaleString('en-US'), milesLabel, 3],
    [`${car.year} ${car.make} ${car.model}`, 'Vehicle', 5],
    [common.plate, 'Tag', 2],
    ['6614', 'Job ref', 2],
    [claimNumber, 'Claim', 3],
    ['Odalys Fenwright', 'Examined by', 4],
    [`${volts} V`, 'Supply, support on', 2],
    [reader.name, 'Device', 3],
    [reader.serial, 'Unit serial', 2],
    [reader.software, 'Firmware', 1],
  ]
  const list = NAMES.map((name) => {
    const own = codes.filter((c) => c.module === name)
    return `<section><h3>${name}<b>${own.length ? `${own.length} held` : 'clear'}</b></h3>${own.map((c) => `<p><code>${c.code}:${c.failureType}</code> ${esc(c.text)} <i>(${WORD[c.status]})</i></p>`).join('')}</section>`
  }).join('')
  chrome(
    `<!doctype html><meta charset="utf-8"><title>${title}</title><style>
@page{size:letter;margin:18mm 20mm}body{font:10pt "Liberation Sans Narrow",sans-serif;color:#1c2733;margin:0}
h1{font-size:21pt;font-weight:400;letter-spacing:-.3px;margin:0;color:#0b5d57}header p{margin:1mm 0 7mm;color:#667}
.f{display:grid;grid-template-columns:repeat(12,1fr);gap:4mm 5mm;margin-bottom:8mm}.f div{border-top:0}.f span{display:block;font-size:11.5pt;border-bottom:.6pt solid #333;padding-bottom:.6mm}.f small{font-size:7.5pt;color:#667}
.sum{background:#e7f0ef;padding:2mm 3mm;margin-bottom:5mm}section{border-left:3pt solid #0b5d57;padding:.8mm 0 .8mm 3mm;margin-bottom:1.6mm;width:122mm}h3{font-size:10.5pt;margin:0;font-weight:400}h3 b{float:right;font-weight:400}section p{margin:.8mm 0 0 6mm}code{font:bold 9.5pt "Liberation Mono"}footer{margin-top:9mm;font-size:7.5pt;color:#667}</style>
<header><h1>${title}</h1><p>${esc(shop)} &middot; 118 Thistledown Lane, Harrow Falls, NE &middot; readout ${no}</p></header>
<div class="f">${fields.map(([v, l, w]) => `<div style="grid-column:span ${w}"><span>${esc(v)}</span><small>${l}</small></div>`).join('')}</div>
<div class="sum">Controllers reached: 12 of 12 &nbsp;&middot;&nbsp; Faults held: ${codes.length}</div>${list}
<footer>Each controller was asked once over the diagnostic connector. A clear controller holds no fault.</footer>`,
    out,
  )
}

const arrivalCodes = [
  {
    module: 'Body ECU',
    code: 'B10A3',
    failureType: '11',
    status: 'active',
    text: 'Outside air sensor, circuit short to ground',
  },
  {
    module: 'Front radar unit',
    code: 'C1A60',
    failureType: '76',
    status: 'active',
    text: 'Mounting position not correct',
  },
  {
    module: 'Front radar unit',
    code: 'U0121',
    failureType: '87',
    status: 'stored',
    text: 'Brake ECU, message missing',
  },
]
const readoutTruth = (kind, local, miles, volts, codes) => ({
  kind,
  ...common,
  claimNumber,
  date: at(local),
  odometer: { value: miles, unit: 'mi' },
  batteryVolts: volts,
  technician: 'Odalys Fenwright',
  instrument: reader,
  modules: NAMES.map((name) => ({ name, state: codes.some((c) => c.module === name) ? 'fault' : 'no-fault' })),
  codes,
  statedCodeCount: codes.length,
  pages: 1,
})

const aimer = { name: 'Korvane RoadAim', serial: 'KRA-2291', software: '3.14' }
const aims = [
  { name: 'Horizontal aim', value: 0.12, half: 0.5 },
  { name: 'Vertical aim', value: -0.21, half: 0.8 },
  { name: 'Mounting tilt before the drive', value: 0.3, half: 1 },
]
const signed = (v) => (v < 0 ? '-' : '+') + Math.abs(v).toFixed(2)

// Two columns of label, dotted leader, value; the runs as rows without rules; limits as nominal and plus-minus.
const roadRecord = (out, metres) =>
  draw(
    out,
    {
      size: 'LETTER',
      margin: 54,
      info: {
        Title: 'Road learning record',
        Author: 'Korvane RoadAim 3.14',
        CreationDate: new Date('2026-08-17T18:36:20Z'),
      },
    },
    (d) => {
      d.font('Times-Bold').fontSize(17).text('ROAD LEARNING RECORD', 54, 50)
      d.font('Times-Italic').fontSize(10).text(`${shop}, Harrow Falls - driven calibration of one sensor`, 54, 71)
      d.moveTo(54, 88).lineTo(558, 88).lineWidth(1.5).stroke()
      const leader = (label, value, x, y, width) => {
        d.font('Times-Roman').fontSize(10.5)
        const l = d.widthOfString(label),
          v = d.widthOfString(value)
        const dots = Math.max(0, Math.floor((width - l - v - 8) / d.widthOfString('.')))
        d.text(`${label} `, x, y, { lineBreak: false })
        d.fillColor('#888')
          .text('.'.repeat(dots), x + l + 4, y, { lineBreak: false })
          .fillColor('#000')
        d.text(value, x + width - v, y, { lineBreak: false })
      }
      const left = [
        ['Chassis no.', vin],
        ['Vehicle', `${car.year} ${car.make} ${car.model}`],
        ['Tag', common.plate],
        ['Odo reading', '14,920 mi'],
        ['Job ref', '6614'],
        ['Claim', claimNumber],
      ]
      const right = [
        ['Written', 'Mon 17-Aug-26 13:36'],
        ['Tech', 'Odalys Fenwright'],
        ['Seat two, at the screen', 'Hale Morrow'],
        ['Instrument', aimer.name],
        ['Instrument s/n', aimer.serial],
        ['Program version', aimer.software],
      ]
      left.forEach(([l, v], i) => leader(l, v, 54, 104 + 17 * i, 240))
      right.forEach(([l, v], i) => leader(l, v, 318, 104 + 17 * i, 240))
      d.font('Times-Bold').fontSize(13).text('Front radar, long range', 54, 226)
      const a = [
        ['Method', 'dynamic, on the road'],
        ['Serial of unit', radarSerial],
        ['Part of unit', 'DQ 71-3308-C'],
        ['Maker\u2019s instruction', 'DSI 62-07 (2026-03-30)'],
        ['Board supply', '14.1 V'],
      ]
      const b = [
        ['Began', 'Mon 17-Aug-26 13:12:00'],
        ['Ended', 'Mon 17-Aug-26 13:34:40'],
        ['Time on the road', '22 min 40 s'],
        ['Way covered', `${(metres / 1609.344).toFixed(1)} mi`],
        ['Verdict', 'LEARNT'],
      ]
      a.forEach(([l, v], i) => leader(l, v, 54, 250 + 17 * i, 240))
      b.forEach(([l, v], i) => leader(l, v, 318, 250 + 17 * i, 240))
      const row = (cells, xs, y, font = 'Times-Roman') =>
        cells.forEach((c, i) => d.font(font).fontSize(10.5).text(c, xs[i], y, { lineBreak: false }))
      const runs = [54, 110, 210, 310, 400]
      d.font('Times-Bold').fontSize(12).text('Runs', 54, 352)
      row(['Run', 'From', 'To', 'Reached', 'Remark'], runs, 372, 'Times-Italic')
      row(['1', '13:12:00', '13:19:10', '42 %', 'given up, heavy traffic'], runs, 388)
      row(['2', '13:20:15', '13:34:40', '100 %', 'learnt in full'], runs, 404)
      const cols = [54, 250, 330, 460]
      d.font('Times-Bold').fontSize(12).text('Found', 54, 436)
      aims.forEach((v, i) =>
        row(
          [v.name, `${signed(v.value)} deg`, `nominal 0.00 \u00b1 ${v.half.toFixed(2)}`, 'within'],
          cols,
          456 + 16 * i,
        ),
      )
      d.font('Times-Roman')
        .fontSize(10.5)
        .text(
          'Before the start: tires 35 psi cold (placard 35), fuel five eighths, no load, ride height as specified, steering wheel straight at 0.2 deg. Road dry, lane lines on both sides.',
          54,
          522,
          { width: 504 },
        )
      d.text('The driver drove. The second person alone watched the percentage.', 54, 566)
    },
  )
const roadTruth = (metres) => ({
  kind: 'calibration',
  ...common,
  claimNumber,
  date: at('2026-08-17T13:36'),
  odometer: { value: 14920, unit: 'mi' },
  batteryVolts: 14.1,
  technician: 'Odalys Fenwright',
  instrument: aimer,
  calibrations: [
    {
      sensor: 'front-radar',
      position: null,
      method: 'dynamic',
      outcome: 'completed',
      progressPercent: 100,
      started: at('2026-08-17T13:12:00'),
      ended: at('2026-08-17T13:34:40'),
      durationSeconds: 1360,
      serial: radarSerial,
      part: 'DQ 71-3308-C',
      procedure: 'DSI 62-07 (2026-03-30)',
      values: aims.map((v) => ({
        name: v.name,
        value: v.value,
        unit: 'deg',
        least: -v.half,
        most: v.half,
        stated: 'ok',
      })),
      attempts: [
        { outcome: 'aborted', progressPercent: 42, at: at('2026-08-17T13:12:00') },
        { outcome: 'completed', progressPercent: 100, at: at('2026-08-17T13:20:15') },
      ],
    },
  ],
  pages: 1,
  metres,
})

export async function make(file) {
  const documents = {}
  const drive = {
    ...road({
      seed: 41,
      lat: 41.2187,
      lon: -98.4602,
      turn: 33,
      legs: [
        [20, 0],
        [200, 22],
        [190, 23],
        [25, 0],
        [65, 10],
        [300, 22],
        [540, 24],
        [20, 0],
      ],
    }),
    base: 561,
  }
  const measured = measure(drive)
  readout(file('IN 6614.pdf'), {
    title: 'Scan at check-in',
    date: '8/13/26 08:41',
    miles: 14902,
    milesLabel: 'Miles at check-in',
    volts: '13.1',
    codes: arrivalCodes,
    no: '20288',
  })
  redate(file('IN 6614.pdf'), '2026-08-13T13:43:05Z')
  documents['IN 6614.pdf'] = readoutTruth('pre-scan', '2026-08-13T08:41', 14902, 13.1, arrivalCodes)
  await roadRecord(file('road learning.pdf'), measured.distanceMetres)
  const { metres: _, ...truth } = roadTruth()
  documents['road learning.pdf'] = truth
  readout(file('OUT 6614.pdf'), {
    title: 'Scan at check-out',
    date: '8/17/26 14:05',
    miles: 14920,
    milesLabel: 'Miles at check-out',
    volts: '13.0',
    codes: [],
    no: '20311',
  })
  redate(file('OUT 6614.pdf'), '2026-08-17T19:06:11Z')
  documents['OUT 6614.pdf'] = readoutTruth('post-scan', '2026-08-17T14:05', 14920, 13, [])
  writeFileSync(file('6614 road.gpx'), asGpx(drive, '2026-08-17T18:12:00Z', 'Job 6614'))
  const { over40mph, ...drove } = measured
  if (over40mph < 0.85) throw new Error(`too slow: ${over40mph}`)
  documents['6614 road.gpx'] = { kind: 'drive-log', drive: drove }
  documents['est.pdf'] = estimate(file('est.pdf'))
  redate(file('est.pdf'), '2026-08-13T15:20:00Z')
  documents['bill 6614.pdf'] = await bill(file('bill 6614.pdf'))
  photo(file('20260814_110231.jpg'), {
    size: '960x720',
    seed: 12,
    draws: [
      '-fill',
      '#23282c',
      '-draw',
      'roundrectangle 170,140 790,580 26,26',
      '-fill',
      '#f2f1ec',
      '-draw',
      'rectangle 250,220 710,500',
      '-fill',
      '#111',
      '-font',
      'Liberation-Sans-Bold',
      '-pointsize',
      '44',
      '-annotate',
      '+275+290',
      'FRONT RADAR',
      '-font',
      'Liberation-Mono',
      '-pointsize',
      '34',
      '-annotate',
      '+275+355',
      radarSerial,
      '-annotate',
      '+275+410',
      'DQ 71-3308-C',
      '-annotate',
      '+275+465',
      '77 GHz 12 V',
      '-rotate',
      '2',
    ],
    taken: '2026-08-14T11:02:31',
    offset: '-05:00',
    utc: '2026-08-14T16:02:31Z',
    make: 'Orrin',
    model: 'Pebble 6',
    lat: 41.2187,
    lon: -98.4602,
  })
  documents['20260814_110231.jpg'] = {
    kind: 'photo',
    photo: { taken: at('2026-08-14T11:02:31', '-05:00'), barcodes: [] },
  }
  writeFileSync(
    file('packet.yaml'),
    `packet: 1
zone: America/Chicago
job: "6614"
claim: ${claimNumber}
vehicle: { vin: ${vin}, plate: RKT 2207 }
loss: 2026-08-04
intake: 2026-08-13T08:05
release: 2026-08-18T10:00
repairs:
  - { what: "Front bumper cover, grille with bracket, front radar", ended: 2026-08-14T15:20 }
calibrations:
  - { sensor: front-radar, method: dynamic }
notNeeded:
  - { sensor: ultrasonic, because: "holders and sonars were not touched; service information asks for a function test only" }
people:
  - { name: Odalys Fenwright, role: technician }
  - { name: Hale Morrow, role: reviewer }
shop: { name: "${shop}", location: [41.2187, -98.4602] }
`,
  )
  return {
    note: 'Front bumper, grille and radar; the road calibration was given up once at 42 % and came to 100 % on the second run of the same drive, as record and bill say. GPX log. packet.yaml. All consistent.',
    clean: true,
    documents,
    expected: [],
    allowed: ['attempts-disclosed'],
  }
}
