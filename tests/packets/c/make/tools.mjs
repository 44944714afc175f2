// Shared means of the generator: randomness, VIN check digit, printers, dates inside PDF files, photos.
import { execFileSync } from 'node:child_process'
import { createWriteStream, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import PDFDocument from 'pdfkit'

export function random(seed) {
  let a = seed >>> 0
  const next = () => {
    a = (a + 0x9e3779b9) >>> 0
    let t = a ^ (a >>> 16)
    t = Math.imul(t, 0x21f0aaad)
    t ^= t >>> 15
    t = Math.imul(t, 0x735a2d97)
    return ((t ^ (t >>> 15)) >>> 0) / 4294967296
  }
  return { next, bell: () => next() + next() + next() + next() + next() + next() - 3 }
}

// 49 CFR 565.15: transliteration and weights, remainder of 11.
const WORTH = {
  ...Object.fromEntries([...'ABCDEFGH'].map((c, i) => [c, i + 1])),
  ...Object.fromEntries([...'JKLMN'].map((c, i) => [c, i + 1])),
  P: 7,
  R: 9,
  ...Object.fromEntries([...'STUVWXYZ'].map((c, i) => [c, i + 2])),
}
const WEIGHT = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]
export function checkDigit(vin) {
  const sum = [...vin].reduce((s, c, i) => s + WEIGHT[i] * (WORTH[c] ?? Number(c)), 0)
  return sum % 11 === 10 ? 'X' : String(sum % 11)
}
export const fillVin = (pattern) => pattern.replace('*', checkDigit(pattern.replace('*', '0')))

export const esc = (s) =>
  String(s).replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;')
export const dollars = (n) => n.toFixed(2).replace(/\B(?=(\d{3})+\.)/g, ',')
export const euros = (n) =>
  n
    .toFixed(2)
    .replace('.', ',')
    .replace(/\B(?=(\d{3})+,)/g, '.')
export const comma = (n, places) => n.toFixed(places).replace('.', ',')
export const sum = (list) => list.reduce((s, x) => s + x, 0)
export const at = (local, offset = null) => ({ local, offset })

// A folder of its own for each print, removed afterwards.
function within(work) {
  const folder = mkdtempSync(join(tmpdir(), 'packets-c-'))
  try {
    return work(folder)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

export const chrome = (html, out) =>
  within((folder) => {
    const page = join(folder, 'page.html')
    writeFileSync(page, html)
    execFileSync(
      'chromium',
      [
        '--headless',
        '--no-sandbox',
        '--disable-gpu',
        '--disable-background-networking',
        '--disable-component-update',
        `--user-data-dir=${join(folder, 'profile')}`,
        '--no-pdf-header-footer',
        `--print-to-pdf=${join(folder, 'page.pdf')}`,
        page,
      ],
      { stdio: 'ignore' },
    )
    writeFileSync(out, readFileSync(join(folder, 'page.pdf')))
  })

export const office = (flatOdt, out) =>
  within((folder) => {
    writeFileSync(join(folder, 'page.fodt'), flatOdt)
    execFileSync(
      'soffice',
      [
        '--headless',
        `-env:UserInstallation=file://${join(folder, 'profile')}`,
        '--convert-to',
        'pdf',
        '--outdir',
        folder,
        join(folder, 'page.fodt'),
      ],
      { stdio: 'ignore' },
    )
    writeFileSync(out, readFileSync(join(folder, 'page.pdf')))
  })

export const roff = (source, out, macros = ['-t', '-ms']) =>
  within((folder) => {
    const ps = execFileSync('groff', ['-k', '-Tps', '-P-pletter', ...macros], { input: source, maxBuffer: 1 << 26 })
    writeFileSync(join(folder, 'page.ps'), ps)
    execFileSync('ps2pdf', ['-sPAPERSIZE=letter', join(folder, 'page.ps'), join(folder, 'page.pdf')])
    writeFileSync(out, readFileSync(join(folder, 'page.pdf')))
  })

export const draw = (out, options, paint) =>
  new Promise((done, failed) => {
    const doc = new PDFDocument(options)
    const stream = createWriteStream(out)
    stream.on('finish', done).on('error', failed)
    doc.pipe(stream)
    paint(doc)
    doc.end()
  })

// Sets the printer's own dates to the day of the story, byte for byte in place. moment: YYYY-MM-DDTHH:MM:SSZ
export function redate(file, moment) {
  const t = new Date(moment).toISOString().slice(0, 19)
  const packed = t.replace(/[-T:]/g, '')
  const s = readFileSync(file, 'latin1')
    .replace(
      /(\/(?:CreationDate|ModDate)\s?\(D:)\d{14}((?:[+-]\d\d'\d\d'?|Z)?)/g,
      (_, a, zone) => a + packed + zone.replace(/[+-]\d\d'\d\d/, "+00'00"),
    )
    .replace(
      /(<xmp:(?:CreateDate|ModifyDate)>)\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d([^<]*)(?=<)/g,
      (_, a, zone) => a + t + zone.replace(/[+-]\d\d:\d\d/, '+00:00'),
    )
  if (!s.includes(packed)) throw new Error(`${basename(file)} holds no date to set`)
  writeFileSync(file, s, 'latin1')
}

// A small picture: ImageMagick draws it with a little grain, exiftool gives it a camera, a time and a place.
export function photo(out, { size, draws, seed, taken, offset, utc, make, model, lat, lon }) {
  const args = [
    '-size',
    size,
    'gradient:#8d9296-#54585c',
    '-seed',
    String(seed),
    ...draws,
    '-attenuate',
    '0.25',
    '+noise',
    'Gaussian',
    '-blur',
    '0x0.6',
    '-quality',
    '72',
    '-strip',
    out + '.jpg',
  ]
  execFileSync('convert', args)
  renameSync(out + '.jpg', out)
  const stamp = taken.replace(/-/g, ':').replace('T', ' ')
  const [day, time] = utc.replace(/-/g, ':').replace('Z', '').split('T')
  execFileSync('exiftool', [
    '-q',
    '-overwrite_original',
    `-Make=${make}`,
    `-Model=${model}`,
    `-DateTimeOriginal=${stamp}`,
    `-CreateDate=${stamp}`,
    `-ModifyDate=${stamp}`,
    `-OffsetTimeOriginal=${offset}`,
    `-OffsetTime=${offset}`,
    `-GPSDateStamp=${day}`,
    `-GPSTimeStamp=${time}`,
    `-GPSLatitude=${Math.abs(lat)}`,
    `-GPSLatitudeRef=${lat < 0 ? 'S' : 'N'}`,
    `-GPSLongitude=${Math.abs(lon)}`,
    `-GPSLongitudeRef=${lon < 0 ? 'W' : 'E'}`,
    '-ISO=160',
    '-ExposureTime=1/60',
    '-FNumber=1.8',
    '-FocalLength=5.2',
    out,
  ])
}
