// What the packets share: VINs, seeded noise, drives, printing through several producers, photos, truth.
import { execFileSync } from 'node:child_process'
import { createWriteStream, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import PDFKit from 'pdfkit'

export const home = dirname(dirname(fileURLToPath(import.meta.url)))
export const scratch = mkdtempSync(join(tmpdir(), 'packets-d-'))
process.on('exit', () => rmSync(scratch, { recursive: true, force: true }))

// 49 CFR 565.15 (c): values of the letters, weights of the places, remainder by 11
const VALUE = Object.fromEntries([...'ABCDEFGH'].map((c, i) => [c, i + 1]).concat([...'JKLMN'].map((c, i) => [c, i + 1]), [['P', 7], ['R', 9]], [...'STUVWXYZ'].map((c, i) => [c, i + 2])))
const WEIGHT = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]
export const checkDigit = (v) => {
  const r = [...v].reduce((s, c, i) => s + (/\d/.test(c) ? Number(c) : VALUE[c]) * WEIGHT[i], 0) % 11
  return r === 10 ? 'X' : String(r)
}
export const vin = (first8, last8) => `${first8}${checkDigit(`${first8}0${last8}`)}${last8}`

export function rng(seed) {
  let a = seed >>> 0
  const next = () => {
    a = (a + 0x6d2b79f5) | 0
    let t = Math.imul(a ^ (a >>> 15), 1 | a)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  const normal = () => Math.sqrt(-2 * Math.log(next() + 1e-12)) * Math.cos(2 * Math.PI * next())
  return { next, normal }
}

export const esc = (s) => String(s).replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;')
export const money = (n) => n.toFixed(2).replace(/\B(?=(\d{3})+\.)/g, ',')
export const group = (n, by = ',') => String(n).replace(/\B(?=(\d{3})+$)/g, by)

const MON = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
/** Prints a local ISO time by a pattern of yyyy MM dd MMM d M HH h mm ss a. */
export function show(local, pattern) {
  const [, y, mo, d, h = '00', mi = '00', s = '00'] = /^(\d+)-(\d+)-(\d+)(?:T(\d+):(\d+)(?::(\d+))?)?/.exec(local)
  const parts = { yyyy: y, yy: y.slice(2), MMM: MON[mo - 1], MM: mo, dd: d, d: Number(d), M: Number(mo), HH: h, h: ((Number(h) + 11) % 12) + 1, hh: String(((Number(h) + 11) % 12) + 1).padStart(2, '0'), mm: mi, ss: s, a: Number(h) < 12 ? 'AM' : 'PM' }
  return pattern.replace(/yyyy|yy|MMM|MM|dd|HH|hh|mm|ss|d|M|h|a/g, (k) => parts[k])
}
export const at = (local, offset = null) => ({ local, offset })
/** The time `seconds` after a local time, without any zone. */
export const later = (local, seconds) => new Date(Date.parse(`${local.length === 16 ? `${local}:00` : local}Z`) + seconds * 1000).toISOString().slice(0, 19)

// PDF dates keep their length, so offsets in the cross-reference table hold
function dateFile(path, local, offset) {
  const stamp = `${local.replace(/[-:T]/g, '')}00`.slice(0, 14)
  let s = readFileSync(path, 'latin1')
  s = s.replace(/D:\d{14}([+-]\d\d'\d\d'?|Z00'00'?|Z)/g, (_, z) => {
    const want = `${offset.slice(0, 3)}'${offset.slice(4)}'`
    return `D:${stamp}${z.length >= 6 ? want.slice(0, z.length) : z}`
  })
  s = s.replace(/<xmp:(CreateDate|ModifyDate|MetadataDate)>\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d/g, (_, k) => `<xmp:${k}>${show(local, 'yyyy-MM-ddTHH:mm:ss')}`)
  writeFileSync(path, s, 'latin1')
}

export function chromiumPdf(html, path, local, offset) {
  const page = join(scratch, 'page.html')
  writeFileSync(page, `<!doctype html><html lang="en"><meta charset="utf-8">${html}</html>`)
  execFileSync('chromium', ['--headless=new', '--no-sandbox', '--disable-gpu', '--no-pdf-header-footer', `--print-to-pdf=${path}`, `file://${page}`], { stdio: 'ignore' })
  dateFile(path, local, offset)
}

export function officePdf(html, path, local, offset) {
  const page = join(scratch, basename(path).replace(/\.pdf$/, '.html'))
  writeFileSync(page, `<!doctype html><html lang="en"><meta charset="utf-8">${html}</html>`)
  execFileSync('soffice', ['--headless', '--infilter=HTML (StarWriter)', '--convert-to', 'pdf:writer_pdf_Export', '--outdir', dirname(path), page], { stdio: 'ignore' })
  dateFile(path, local, offset)
}

export function groffPdf(source, path, local, offset, flags = ['-t', '-ms', '-P-pletter', '-dpaper=letter']) {
  const ps = execFileSync('groff', [...flags, '-Tps', '-K', 'utf8'], { input: source, maxBuffer: 1 << 26 })
  const file = join(scratch, 'page.ps')
  writeFileSync(file, ps)
  execFileSync('ps2pdf', ['-sPAPERSIZE=letter', file, path])
  dateFile(path, local, offset)
}

export function kitPdf(path, options, local, offset, draw) {
  return new Promise((done, fail) => {
    const when = new Date(`${local.length === 16 ? `${local}:00` : local}${offset}`)
    const doc = new PDFKit({ bufferPages: true, ...options, info: { ...options.info, CreationDate: when } })
    const out = createWriteStream(path)
    out.on('finish', done).on('error', fail)
    doc.pipe(out)
    draw(doc)
    doc.end()
  })
}

/** One metre-true drive at 1 Hz; `plan` holds [seconds, target km/h] legs. */
export function simulate(seed, plan, start, heading0, sigma = 1.1) {
  const r = rng(seed)
  let [lat, lon] = start
  let v = 0, heading = heading0, turn = 0, wander = 0, nx = 0, ny = 0, metres = 0, t = 0
  const points = []
  const put = () => {
    const k = v < 0.3 ? 0.15 : 1
    nx = 0.96 * nx + sigma * 0.25 * k * r.normal()
    ny = 0.96 * ny + sigma * 0.25 * k * r.normal()
    const la = lat + ny / 111132, lo = lon + nx / (111320 * Math.cos((lat * Math.PI) / 180))
    points.push({ t, v, gps: Math.max(0, v + (v < 0.3 ? 0.05 * Math.abs(r.normal()) : 0.12 * r.normal())), lat: la, lon: lo, heading: (heading + 360) % 360, metres, x: r.next(), n: r.normal() })
  }
  put()
  for (const [seconds, target] of plan) {
    for (let i = 0; i < seconds; i++) {
      wander = 0.93 * wander + 0.28 * r.normal()
      const want = target === 0 ? 0 : Math.max(0, target / 3.6 + wander)
      const dv = Math.max(-1.9, Math.min(1.5 - 0.03 * v, want - v))
      const before = v
      v = Math.max(0, v + dv)
      if (target === 0 && v < 0.4) v = 0
      turn = 0.95 * turn + (v > 12 ? 0.09 : v > 3 ? 0.5 : 0) * r.normal()
      turn = Math.max(-120 / Math.max(v, 8), Math.min(120 / Math.max(v, 8), turn))
      if (v < 0.5) turn = 0
      heading += turn
      const step = (v + before) / 2
      metres += step
      lat += (step * Math.cos((heading * Math.PI) / 180)) / 111132
      lon += (step * Math.sin((heading * Math.PI) / 180)) / (111320 * Math.cos((lat * Math.PI) / 180))
      t++
      put()
    }
  }
  return points
}
export const driveTruth = (points) => ({ points: points.length, durationSeconds: points.at(-1).t - points[0].t, distanceMetres: Math.round(points.at(-1).metres - points[0].metres) })

export function photo(path, svg, { local, offset, place, make, model, size = [1280, 960], quality = 52 }) {
  const page = join(scratch, 'photo.html'), png = join(scratch, 'photo.png')
  writeFileSync(page, `<!doctype html><meta charset="utf-8"><body style="margin:0;background:#333">${svg}</body>`)
  execFileSync('chromium', ['--headless=new', '--no-sandbox', '--disable-gpu', '--hide-scrollbars', `--window-size=${size[0]},${size[1] + 120}`, `--screenshot=${png}`, `file://${page}`], { stdio: 'ignore' })
  execFileSync('convert', [png, '-crop', `${size[0]}x${size[1]}+0+0`, '+repage', '-blur', '0x0.6', '-strip', '-sampling-factor', '2x2', '-quality', String(quality), path])
  const stamp = local.replace(/-/g, ':').replace('T', ' ')
  const utc = new Date(`${local}${offset}`).toISOString()
  execFileSync('exiftool', ['-q', '-overwrite_original', `-Make=${make}`, `-Model=${model}`, `-DateTimeOriginal=${stamp}`, `-CreateDate=${stamp}`, `-ModifyDate=${stamp}`, `-OffsetTimeOriginal=${offset}`, `-OffsetTime=${offset}`,
    `-GPSLatitude=${Math.abs(place[0])}`, '-GPSLatitudeRef=N', `-GPSLongitude=${Math.abs(place[1])}`, '-GPSLongitudeRef=W', `-GPSDateStamp=${utc.slice(0, 10).replace(/-/g, ':')}`, `-GPSTimeStamp=${utc.slice(11, 19)}`,
    '-ExposureTime=1/60', '-FNumber=1.8', '-ISO=250', '-FocalLength=4.6', path])
}

// Code 39: nine elements a character, wide ones marked w (AIM USS-39; table from memory, read back by zbarimg in verify.mjs)
const C39 = { 0: '000110100', 1: '100100001', 2: '001100001', 3: '101100000', 4: '000110001', 5: '100110000', 6: '001110000', 7: '000100101', 8: '100100100', 9: '001100100', A: '100001001', B: '001001001', C: '101001000', D: '000011001', E: '100011000', F: '001011000', G: '000001101', H: '100001100', I: '001001100', J: '000011100', K: '100000011', L: '001000011', M: '101000010', N: '000010011', O: '100010010', P: '001010010', Q: '000000111', R: '100000110', S: '001000110', T: '000010110', U: '110000001', V: '011000001', W: '111000000', X: '010010001', Y: '110010000', Z: '011010000', '-': '010000101', '*': '010010100' }
export function code39(text, x, y, narrow, height) {
  let s = ''
  for (const c of `*${text}*`) {
    ;[...C39[c]].forEach((w, i) => {
      const width = w === '1' ? narrow * 2.5 : narrow
      if (i % 2 === 0) s += `<rect x="${x.toFixed(2)}" y="${y}" width="${width}" height="${height}" fill="#111"/>`
      x += width
    })
    x += narrow
  }
  return { svg: s, end: x }
}

/** Gives a packet's folder, emptied, and a function that writes its truth. */
export function packet(name, truth) {
  const folder = join(home, name), files = join(folder, 'files')
  rmSync(folder, { recursive: true, force: true })
  mkdirSync(files, { recursive: true })
  const documents = {}
  return {
    file: (n) => join(files, n),
    add: (n, t) => {
      const path = join(files, n)
      if (!existsSync(path)) throw new Error(`${path} was not made`)
      if (n.endsWith('.pdf')) t.pages = Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [path], { encoding: 'utf8' }))[1])
      documents[n] = t
    },
    end: () => writeFileSync(join(folder, 'truth.json'), `${JSON.stringify({ note: truth.note, clean: truth.clean, documents, expected: truth.expected ?? [], allowed: truth.allowed ?? [] }, null, 1)}\n`),
  }
}
/** Splits a printed code into its parts of truth. */
export const codeTruth = (c) => {
  const m = /^([PCBU][0-3][0-9A-F]{3})(?:[-:]?([0-9A-F]{2}))?$/.exec(c.code)
  return { module: c.module, code: m[1], failureType: m[2] ?? null, status: c.state, text: c.text }
}
export const asModules = (list) => list.map(([name, state]) => ({ name, state }))

/** The facts that most records of one vehicle share. */
export const common = (v, odo, unit, more = {}) => ({ vin: v.vin, ...(odo ? { odometer: { value: odo, unit } } : {}), vehicle: { year: v.year, make: v.make, model: v.model }, ...more })
export const operation = (text, amount, kind = 'other', calls = []) => ({ text, amount, kind, calls })
export const operationsTruth = (list, billed) => list.map((o) => ({ text: o.text, calls: o.calls, billed, amount: o.amount, kind: o.kind }))
export const sum = (list) => Math.round(list.reduce((s, o) => s + o.amount, 0) * 100) / 100
