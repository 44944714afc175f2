// Clean, without packet.yaml: windshield; three calibrations in one certificate, most of it in sentences.
import { writeFileSync } from 'node:fs'
import { asNmea, measure, road } from './drives.mjs'
import { makeOdt, PAGE, PAGES } from './odt.mjs'
import { invoice } from './p02-bills.mjs'
import { car, common, km, shop, vin, zone } from './p02-job.mjs'
import { at, chrome, draw, office, photo, redate } from './tools.mjs'

const reader = { name: 'Fathom Tracer 12', serial: 'FT12/20418', software: '2026.3' }
const NAMES = [
  'Engine management',
  'Gearbox',
  'Brake system',
  'Steering assistance',
  'Restraints',
  'Body front',
  'Body rear',
  'Instruments',
  'Windshield camera',
  'Radar front',
  'Radar rear left',
  'Radar rear right',
  'Parking sensors',
  'Rear view camera',
  'Gateway',
  'Climate',
  'Radio',
  'Phone unit',
  'Rain and light sensor',
  'Wipers',
  'Seat driver',
  'Seat passenger',
  'Trailer',
  'Air suspension',
]
const ABSENT = ['Trailer', 'Air suspension']
const STATE = { active: 'present', stored: 'passive' }
const entries = [
  {
    module: 'Windshield camera',
    code: 'B2C44',
    failureType: '97',
    status: 'active',
    text: 'Image field of the camera obstructed in the upper third',
  },
  {
    module: 'Wipers',
    code: 'U0155',
    failureType: '87',
    status: 'stored',
    text: 'Message from the instruments missing',
  },
  {
    module: 'Rain and light sensor',
    code: 'B12E1',
    failureType: '14',
    status: 'stored',
    text: 'Sensor signal outside the expected range for longer than ten seconds after parking of the wipers',
  },
]

// Landscape; boxed label and value pairs; a matrix of modules in three columns with ticks; a flat table of entries on its own sheet.
function readout(out, { when, title, odo, volts, codes }) {
  const { p, table, finish } = makeOdt({
    width: 279.4,
    height: 215.9,
    margin: 14,
    font: 'DejaVu_Sans_Condensed',
    looks: {
      title: 'size=16pt bold after=3mm',
      small: 'size=8pt colour=#555555',
      bold: 'bold',
      head: 'size=12pt bold before=4mm after=2mm',
      newSheet: 'size=12pt bold after=2mm break',
      tick: 'size=11pt center',
      band: 'size=9pt bold',
    },
    header: `<text:p text:style-name="band">${reader.name}   |   ${title}   |   ${common.jobNumber}   |   Sheet ${PAGE}/${PAGES}</text:p>`,
  })
  const g = (t) => [t, 'small', 'grey']
  const facts = table(
    [30, 94, 34, 92],
    [
      [g('Vehicle ident.'), [vin, 'bold'], g('Readout taken'), [when, 'bold']],
      [g('Vehicle'), `${car.year} ${car.make} ${car.model}`, g('Distance recorder'), `${km(odo)} km`],
      [g('Reg. mark'), common.plate, g('Terminal 30'), `${volts} V, charger connected`],
      [g('Worksheet'), common.jobNumber, g('Reader'), reader.name],
      [g('Insurer file'), common.claimNumber, g('Reader no.'), reader.serial],
      [g('Inspector'), common.technician, g('Build'), reader.software],
    ],
  )
  const mark = (n) => (ABSENT.includes(n) ? '\u2014' : codes.some((c) => c.module === n) ? '\u2717' : '\u2713')
  const third = NAMES.length / 3
  const matrix = table(
    [68, 14, 68, 14, 68, 14],
    Array.from({ length: third }, (_, r) =>
      [0, 1, 2].flatMap((c) => [NAMES[r + c * third], [mark(NAMES[r + c * third]), 'tick']]),
    ),
    'line',
  )
  const list = codes.length
    ? p('Entries', 'newSheet') +
      table(
        [12, 48, 30, 28, 62],
        [
          ['No.', 'Controller', 'Entry', 'State', 'Meaning'].map((t) => [t, 'small', 'grey']),
          ...codes.map((c, i) => [
            String(i + 1),
            c.module,
            [`${c.code}${c.failureType}`, 'bold'],
            STATE[c.status],
            c.text,
          ]),
        ],
      )
    : ''
  office(
    finish(
      p(title, 'title') +
        facts +
        p(
          `Controllers: ${NAMES.length}, of which not equipped ${ABSENT.length}. Entries in fault memories: ${codes.length}.`,
          'head',
        ) +
        matrix +
        p('\u2713 no entry    \u2717 entry in fault memory    \u2014 not equipped', 'small') +
        list +
        p(`${shop}, 7 Breakwater Road, Bayfield, NS`, 'small'),
    ),
    out,
  )
}
const readoutTruth = (kind, local, odo, volts, codes) => ({
  kind,
  ...common,
  date: at(local, zone),
  odometer: { value: odo, unit: 'km' },
  batteryVolts: volts,
  instrument: reader,
  modules: NAMES.map((name) => ({
    name,
    state: ABSENT.includes(name) ? 'not-fitted' : codes.some((c) => c.module === name) ? 'fault' : 'no-fault',
  })),
  codes,
  statedCodeCount: codes.length,
  pages: codes.length ? 2 : 1,
})

const bench = { name: 'Lumitrace Bench', serial: 'LB-771-04', software: '6.0.2' }
const cameraSerial = 'YT-MC-0088-2716'
const works = [
  {
    head: 'Steering angle sensor',
    how: 'zero point set',
    sensor: 'steering-angle',
    method: 'initialisation',
    from: ['9:12 am', '09:12'],
    to: ['9:15 am', '09:15'],
    verdict: 'Learnt.',
    procedure: 'YTI 31-006 of 2026-05-02',
    values: [['Zero offset', 0.2, '°', -1, 1, '±1.0°', 'deg']],
  },
  {
    head: 'Windshield camera',
    how: 'static, board in the bay',
    sensor: 'front-camera',
    method: 'static',
    from: ['9:31 am', '09:31'],
    to: ['9:52 am', '09:52'],
    verdict: 'Passed.',
    progress: 100,
    serial: cameraSerial,
    procedure: 'YTI 44-118 of 2026-05-02',
    values: [
      ['Board distance', 1502, ' mm', 1495, 1505, '1500 ± 5 mm', 'mm'],
      ['Board height above floor', 1247, ' mm', 1240, 1260, '1250 ± 10 mm', 'mm'],
      ['Camera pitch', -0.4, '°', -2, 2, '±2.0°', 'deg'],
      ['Camera yaw', 0.3, '°', -1.5, 1.5, '±1.5°', 'deg'],
    ],
  },
  {
    head: 'Windshield camera',
    how: 'dynamic, on the road',
    sensor: 'front-camera',
    method: 'dynamic',
    from: ['1:48 pm', '13:48'],
    to: ['2:07 pm', '14:07'],
    verdict: 'Passed.',
    progress: 100,
    serial: cameraSerial,
    procedure: 'YTI 44-119 of 2026-05-02',
    seconds: 1092,
    values: [
      ['Pitch learnt', -0.3, '°', -2, 2, '±2.0°', 'deg'],
      ['Yaw learnt', 0.2, '°', -1.5, 1.5, '±1.5°', 'deg'],
    ],
  },
]
function certificate(out, odo) {
  const say = (w) =>
    `The procedure (${w.procedure}) was begun 15 September 2026 ${w.from[0]} and finished 15 September 2026 ${w.to[0]}.${w.serial ? ` The camera bears serial number ${w.serial}.` : ''}${w.seconds ? ` The vehicle was on the road for ${Math.floor(w.seconds / 60)} min ${w.seconds % 60} s; Corin Haddow watched the percentage while Ilse Maronne drove.` : ''}${w.progress ? ` Progress stood at ${w.progress} % at the end.` : ''}`
  const value = ([name, v, unit, , , tolerance]) =>
    `<tr><td>${name}</td><td>${String(v).replace('-', '\u2212')}${unit}</td><td>tolerance ${tolerance}</td></tr>`
  chrome(
    `<!doctype html><meta charset="utf-8"><title>Certificate</title><style>@page{size:letter;margin:22mm 26mm}body{font:10.4pt/1.38 "P052",serif;margin:0}h1{text-align:center;font-weight:400;font-size:22pt;margin:0}h1+p{text-align:center;margin:0 0 6mm;font-style:italic}h2{font-size:12.5pt;margin:5mm 0 1mm}h2 span{font-weight:400}p{margin:0 0 2mm;text-align:justify}table{margin-left:8mm;border-spacing:0}td{padding:0 9mm 0 0}.v{font-weight:bold}footer{margin-top:9mm;font-size:9.5pt}</style>
<h1>Certificate of sensor aiming</h1><p>${shop}, 7 Breakwater Road, Bayfield, NS</p>
<p>This is to certify that the sensors named below, of the ${car.year} ${car.make} ${car.model} with identification number ${vin}, registration ${common.plate}, its odometer showing ${km(odo)} km, were aimed by ${common.technician} under worksheet ${common.jobNumber} (insurer file ${common.claimNumber}). The equipment was a ${bench.name}, unit no. ${bench.serial}, with software ${bench.software}; the vehicle was fed with 13.6 V throughout.</p>
<p>Issued 15 September 2026 2:11 pm.</p>
${works.map((w, i) => `<h2>${i + 1}. ${w.head} <span>&ndash; ${w.how}</span></h2><p>${say(w)}</p><table>${w.values.map(value).join('')}</table><p class="v">Verdict: ${w.verdict}</p>`).join('')}
<p>Tires stood at 240 kPa as the placard asks, the tank was three quarters full, nothing was carried, the floor of the bay was level within 4 mm, and the road was dry with lines on both sides.</p>
<footer>Checked and released by Corin Haddow, foreman.</footer>`,
    out,
  )
  return {
    kind: 'calibration',
    ...common,
    date: at('2026-09-15T14:11'),
    odometer: { value: odo, unit: 'km' },
    batteryVolts: 13.6,
    instrument: bench,
    calibrations: works.map((w) => ({
      sensor: w.sensor,
      position: null,
      method: w.method,
      outcome: 'completed',
      ...(w.progress ? { progressPercent: 100 } : {}),
      started: at(`2026-09-15T${w.from[1]}`),
      ended: at(`2026-09-15T${w.to[1]}`),
      ...(w.seconds ? { durationSeconds: w.seconds } : {}),
      ...(w.serial ? { serial: w.serial } : {}),
      procedure: w.procedure,
      values: w.values.map(([name, v, , least, most, , unit]) => ({ name, value: v, unit, least, most, stated: null })),
    })),
    pages: 1,
  }
}

export async function make(file) {
  const documents = {}
  const drive = {
    ...road({
      seed: 907,
      lat: 44.8421,
      lon: -63.9187,
      turn: 105,
      legs: [
        [15, 0],
        [120, 15],
        [260, 22],
        [30, 0],
        [280, 23],
        [200, 21],
        [160, 16],
        [27, 0],
      ],
    }),
    base: 22,
  }
  const { over40mph: _, ...drove } = measure(drive)
  const before = 27418,
    after = before + Math.round(drove.distanceMetres / 1000)
  readout(file('tracer in.pdf'), {
    when: '2026-09-14 08:52:17 -03:00',
    title: 'System readout before work',
    odo: before,
    volts: '12.9',
    codes: entries,
  })
  redate(file('tracer in.pdf'), '2026-09-14T11:53:40Z')
  documents['tracer in.pdf'] = readoutTruth('pre-scan', '2026-09-14T08:52:17', before, 12.9, entries)
  documents['certificate W-30977.pdf'] = certificate(file('certificate W-30977.pdf'), after)
  redate(file('certificate W-30977.pdf'), '2026-09-15T17:12:02Z')
  readout(file('tracer out.pdf'), {
    when: '2026-09-15 14:31:40 -03:00',
    title: 'System readout after work',
    odo: after,
    volts: '13.2',
    codes: [],
  })
  redate(file('tracer out.pdf'), '2026-09-15T17:32:30Z')
  documents['tracer out.pdf'] = readoutTruth('post-scan', '2026-09-15T14:31:40', after, 13.2, [])
  writeFileSync(file('LOG00114.nmea'), asNmea(drive, '2026-09-15T16:48:20Z'))
  documents['LOG00114.nmea'] = { kind: 'drive-log', drive: drove }
  documents['tax invoice.pdf'] = invoice(file('tax invoice.pdf'), after)
  redate(file('tax invoice.pdf'), '2026-09-15T18:20:00Z')
  photo(file('DSCN0733.JPG'), {
    size: '900x675',
    seed: 7,
    draws: [
      '-fill',
      '#3c3f3a',
      '-draw',
      'rectangle 0,470 900,675',
      '-fill',
      '#e9e9e4',
      '-draw',
      'rectangle 210,110 690,430',
      '-fill',
      '#101010',
      '-draw',
      'rectangle 240,140 450,270',
      '-draw',
      'rectangle 450,270 660,400',
      '-fill',
      '#777',
      '-draw',
      'rectangle 440,430 460,560',
      '-draw',
      'polygon 340,600 560,600 460,555 440,555',
    ],
    taken: '2026-09-15T09:40:12',
    offset: zone,
    utc: '2026-09-15T12:40:12Z',
    make: 'Calloway',
    model: 'Shutter 210',
    lat: 44.8421,
    lon: -63.9187,
  })
  documents['DSCN0733.JPG'] = { kind: 'photo', photo: { taken: at('2026-09-15T09:40:12', zone), barcodes: [] } }
  return {
    note: 'Windshield; steering zero, camera static and dynamic in one certificate written in sentences; landscape readouts with a matrix of ticks. NMEA log. No packet.yaml. All consistent.',
    clean: true,
    documents,
    expected: [],
    allowed: [],
  }
}
