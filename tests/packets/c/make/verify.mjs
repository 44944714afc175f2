#!/usr/bin/env node
// Holds each truth.json against what the files themselves say: node verify.mjs [p01 ...]
// Needs poppler-utils and libimage-exiftool-perl.
import { execFileSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { checkDigit } from './tools.mjs'

const packets = join(dirname(fileURLToPath(import.meta.url)), '..')
const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]
const DAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat']
let checks = 0,
  faults = 0
const say = (yes, what) => {
  checks++
  if (yes) return
  faults++
  console.log(`NOT SO: ${what}`)
}
const flat = (s) =>
  String(s)
    .replace(/[\u2212\u2013\u2010\u2011]/g, '-')
    .replace(/\s+/g, ' ')
    .toLowerCase()

// Every form of a moment that the packets use; a line of them for a day, then with the time of day.
function forms({ local, offset }) {
  const [, y, mo, d, , h, mi, s] = /^(\d+)-(\d+)-(\d+)(T(\d+):(\d+)(?::(\d+))?)?/.exec(local)
  const long = MONTHS[+mo - 1],
    short = long.slice(0, 3),
    dow = DAYS[new Date(`${y}-${mo}-${d}Z`).getUTCDay()]
  const days = [
    `${+mo}/${+d}/${y.slice(2)}`,
    `${mo}/${d}/${y}`,
    `${mo}-${d}-${y}`,
    `${dow} ${d}-${short}-${y.slice(2)}`,
    `${+d} ${long} ${y}`,
    `${long} ${+d}, ${y}`,
    `${d}.${mo}.${y}`,
    `${y}-${mo}-${d}`,
  ]
  if (!h) return days
  const sec = s ? `:${s}` : '',
    half = `${((+h + 11) % 12) + 1}:${mi}${sec} ${+h < 12 ? 'am' : 'pm'}`,
    full = `${h}:${mi}${sec}`
  const zone = offset ? [offset, ` ${offset}`] : ['']
  return [
    ...days.flatMap((x) =>
      zone.flatMap((z) => [
        `${x} ${full}${z}`,
        `${x}T${full}${z}`,
        `${x}, ${full}${z}`,
        `${x} ${half}${z}`,
        `${x}, ${half}${z}`,
        `${x} at ${half}${z}`,
        `${x} ${full} h${z}`,
        `${x};${full}`,
      ]),
    ),
    `${dow} ${short} ${+d} ${full} ${y}`,
    `${d}.${mo}.${y};${full}`,
    `date;${d}.${mo}.${y} time;${full}`,
  ]
}
const numbers = (n) => {
  const plain = [String(n), n.toFixed(1), n.toFixed(2)]
  const grouped = [',', ' ', '.', '\u00a0'].map((g) => String(n).replace(/\B(?=(\d{3})+$)/g, g))
  return [...plain, ...plain.map((x) => x.replace('.', ',')), ...grouped]
}
const money = (n) => [
  n.toFixed(2),
  n.toFixed(2).replace(/\B(?=(\d{3})+\.)/g, ','),
  n
    .toFixed(2)
    .replace('.', ',')
    .replace(/\B(?=(\d{3})+,)/g, '.'),
  n
    .toFixed(2)
    .replace('.', ',')
    .replace(/\B(?=(\d{3})+,)/g, ' '),
]

function texts(path) {
  if (!path.endsWith('.pdf')) return [readFileSync(path, 'utf8')]
  return ['-layout', '-raw'].map((how) => execFileSync('pdftotext', [how, path, '-'], { encoding: 'utf8' }))
}

for (const name of readdirSync(packets)
  .filter((n) => /^p\d\d$/.test(n) && (process.argv.length < 3 || process.argv.includes(n)))
  .sort()) {
  const folder = join(packets, name, 'files')
  const truth = JSON.parse(readFileSync(join(packets, name, 'truth.json'), 'utf8'))
  const files = readdirSync(folder)
  say(truth.clean === (truth.expected.length === 0), `${name} clean beside ${truth.expected.length} defects`)
  for (const f of files) {
    say(f === 'packet.yaml' || truth.documents[f] || truth.unread?.includes(f), `${name}/${f} has no truth`)
    say(statSync(join(folder, f)).size < (/jpe?g$/i.test(f) ? 60_000 : 300_000), `${name}/${f} is too large`)
  }
  for (const e of truth.expected) for (const f of e.files) say(files.includes(f), `${name} expects ${f}`)
  for (const [file, t] of Object.entries(truth.documents)) {
    const where = `${name}/${file}`,
      path = join(folder, file)
    if (!existsSync(path)) {
      say(false, `${where} is missing`)
      continue
    }
    if (t.kind === 'photo') {
      const tags = JSON.parse(execFileSync('exiftool', ['-j', '-n', path], { encoding: 'utf8' }))[0]
      say(
        tags.DateTimeOriginal === t.photo.taken.local.replace(/-/g, ':').replace('T', ' ') &&
          tags.OffsetTimeOriginal === t.photo.taken.offset,
        `${where} EXIF time`,
      )
      const utc = new Date(t.photo.taken.local + t.photo.taken.offset).toISOString()
      say(
        `${tags.GPSDateStamp} ${tags.GPSTimeStamp}` === `${utc.slice(0, 10).replace(/-/g, ':')} ${utc.slice(11, 19)}`,
        `${where} GPS time`,
      )
      continue
    }
    const raw = texts(path),
      all = raw.map(flat)
    const want = (key, ...some) =>
      say(
        some.some((f) => all.some((a) => a.includes(flat(f)))),
        `${where} ${key}: ${some[0]}`,
      )
    if (t.kind === 'drive-log') {
      const text = raw[0]
      const n = file.endsWith('.gpx')
        ? text.split('<trkpt').length - 1
        : file.endsWith('.nmea')
          ? text.split('RMC,').length - 1
          : text.split(/\r?\n/).filter((l) => /^\d/.test(l)).length
      say(n === t.drive.points, `${where} points ${n}`)
      if (file.endsWith('.nmea'))
        for (const l of text.trim().split('\r\n')) {
          const [, body, sum] = /^\$(.*)\*(..)$/.exec(l)
          say([...body].reduce((x, c) => x ^ c.charCodeAt(0), 0) === parseInt(sum, 16), `${where} checksum`)
        }
      if (t.vin) want('vin', t.vin)
      continue
    }
    if (t.vin) want('vin', t.vin)
    else say(!/\b[A-HJ-NPR-Z0-9]{8}[0-9X][A-HJ-NPR-Z0-9]{8}\b/.test(raw[0]), `${where} prints a VIN`)
    if (t.date) want('date', ...forms(t.date))
    if (t.odometer) want('odometer', ...numbers(t.odometer.value))
    if (t.vehicle) {
      if (t.vehicle.year) want('year', t.vehicle.year)
      want('make', t.vehicle.make)
      want('model', t.vehicle.model)
    }
    for (const k of ['plate', 'jobNumber', 'claimNumber', 'technician']) if (t[k]) want(k, t[k])
    for (const k of ['name', 'serial', 'software']) if (t.instrument?.[k]) want(`instrument ${k}`, t.instrument[k])
    if (t.batteryVolts) want('volts', ...numbers(t.batteryVolts))
    for (const m of t.modules ?? []) want('module', m.name)
    for (const c of t.codes ?? []) {
      want(
        'code',
        ...(c.failureType
          ? [
              `${c.code}-${c.failureType}`,
              `${c.code}:${c.failureType}`,
              `${c.code}${c.failureType}`,
              `${c.code} (${c.failureType})`,
            ]
          : [c.code]),
      )
      want('code text', c.text)
    }
    if (t.codes) {
      const printed = [...raw.at(-1).matchAll(/(?<![\w-])([PCBU][0-3][0-9A-F]{3})(?=[-:]?[0-9A-F]{2}\b|\b)/g)].map(
        (m) => m[1],
      )
      for (const c of printed)
        say(
          t.codes.some((x) => x.code === c),
          `${where} prints ${c}`,
        )
      say(printed.length === t.codes.length, `${where} prints ${printed.length} codes`)
      say(t.statedCodeCount === undefined || t.statedCodeCount === t.codes.length, `${where} stated count`)
      for (const c of t.codes)
        say(t.modules.find((m) => m.name === c.module)?.state === 'fault', `${where} module of ${c.code}`)
    }
    for (const c of t.calibrations ?? []) {
      for (const k of ['started', 'ended']) if (c[k]) want(k, ...forms(c[k]))
      for (const k of ['serial', 'part', 'procedure']) if (c[k]) want(k, c[k])
      if (c.progressPercent != null)
        want(
          'progress',
          `${c.progressPercent} %`,
          `${c.progressPercent}%`,
          `>${c.progressPercent}<`,
          `${c.progressPercent} percent`,
        )
      const m = Math.floor(c.durationSeconds / 60),
        s = c.durationSeconds % 60
      if (c.durationSeconds) want('duration', `${m} min ${s} s`, `${m}:${String(s).padStart(2, '0')}`, `PT${m}M${s}S`)
      for (const a of c.attempts ?? []) want('attempt', `${a.progressPercent} %`)
      for (const v of c.values ?? []) {
        want('value name', v.name)
        want(`value of ${v.name}`, ...numbers(Math.abs(v.value)))
        say(
          v.stated !== 'ok' ||
            (v.value > v.least &&
              v.value < v.most &&
              Math.min(v.value - v.least, v.most - v.value) > 0.05 * (v.most - v.least)),
          `${where} ${v.name} within limits`,
        )
      }
    }
    for (const v of t.alignment?.values ?? []) {
      want('angle', v.name)
      want(`angle ${v.name}`, ...numbers(Math.abs(v.value)))
      say(v.value > v.least && v.value < v.most, `${where} ${v.name} within limits`)
    }
    for (const o of t.operations ?? []) {
      want('operation', o.text)
      want('amount', ...money(o.amount))
    }
    if (file.endsWith('.pdf'))
      say(
        t.pages === Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [path], { encoding: 'utf8' }))[1]),
        `${where} pages`,
      )
    if (t.vin && /^[1-57][^IOQ]*$/.test(t.vin)) say(t.vin[8] === checkDigit(t.vin), `${where} check digit`)
  }
}
console.log(`${checks} checks, ${faults} faults`)
process.exitCode = faults ? 1 : 0
