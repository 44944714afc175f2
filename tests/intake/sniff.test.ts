import { Buffer } from 'node:buffer'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Media, mediaTypes } from '../../src/facts/media.ts'
import { sniff, sniffBytes } from '../../src/intake/sniff.ts'
import { craftZip } from './craft-zip.ts'

const latin1 = (text: string) => Buffer.from(text, 'latin1')
const utf16 = (text: string) => Buffer.from(`\ufeff${text}`, 'utf16le')

const samples: [name: string, bytes: Uint8Array | string, media: Media][] = [
  ['nothing', '', 'application/x-empty'],
  ['PDF', '%PDF-1.7\n%\xe2\xe3\xcf\xd3\n', 'application/pdf'],
  ['PDF 2.0', '%PDF-2.0\r', 'application/pdf'],
  ['PDF behind a printer job header', '\x1b%-12345X@PJL\r\n%PDF-1.4\n', 'application/pdf'],
  ['PDF behind blank lines', '\r\n\r\n%PDF-1.4\n', 'application/pdf'],
  ['PDF behind a byte order mark', '\ufeff%PDF-1.4\n', 'application/pdf'],
  ['prose on PDF', 'A PDF begins with\n%PDF-1.7\n', 'text/plain'],
  ['JPEG', latin1('\xff\xd8\xff\xe1\0\x10Exif\0\0'), 'image/jpeg'],
  ['PNG', latin1('\x89PNG\r\n\x1a\n\0\0\0\rIHDR'), 'image/png'],
  ['PNG spoiled by a text transfer', latin1('\x89PNG\n\x1a\n\0\0\0\rIHDR'), 'application/octet-stream'],
  ['WebP', latin1('RIFF\x24\0\0\0WEBPVP8 '), 'image/webp'],
  ['sound in the same container', latin1('RIFF\x24\0\0\0WAVEfmt '), 'application/octet-stream'],
  ['TIFF, little-endian', latin1('II*\0\x08\0\0\0'), 'image/tiff'],
  ['TIFF, big-endian', latin1('MM\0*\0\0\0\x08'), 'image/tiff'],
  ['BigTIFF', latin1('II+\0\x08\0\0\0'), 'image/tiff'],
  ['HEIC', latin1('\0\0\0\x18ftypheic\0\0\0\0mif1heic'), 'image/heic'],
  ['HEIC by a compatible brand', latin1('\0\0\0\x18ftypmif1\0\0\0\0mif1heic'), 'image/heic'],
  ['AVIF', latin1('\0\0\0\x1cftypavif\0\0\0\0avifmif1miaf'), 'application/octet-stream'],
  ['a film in the same container', latin1('\0\0\0\x18ftypmp42\0\0\0\0mp42isom'), 'application/octet-stream'],
  ['GIF', 'GIF89a\x01\0\x01\0', 'image/gif'],
  ['zip', craftZip({ entries: [{ name: 'a', data: 'x' }] }), 'application/zip'],
  ['zip without entries', craftZip({ entries: [] }), 'application/zip'],
  ['office document', craftZip({ entries: [{ name: '[Content_Types].xml', data: 'x' }] }), 'application/octet-stream'],
  ['open document', craftZip({ entries: [{ name: 'mimetype', data: 'x' }] }), 'application/octet-stream'],
  ['gzip', latin1('\x1f\x8b\x08\0\0\0\0\0'), 'application/gzip'],
  ['GPX', '<?xml version="1.0"?>\n<gpx version="1.1" creator="x"><trk/></gpx>', 'application/gpx+xml'],
  ['GPX with prefix and comment', '<?xml version="1.0"?><!-- a > b --><g:gpx xmlns:g="x">', 'application/gpx+xml'],
  ['GPX in UTF-16', utf16('<?xml version="1.0" encoding="UTF-16"?>\n<gpx>'), 'application/gpx+xml'],
  ['XML', '<?xml version="1.0"?><report/>', 'application/xml'],
  ['XML with document type', '<!DOCTYPE r [<!ENTITY a "b">]>\n<r>&a;</r>', 'application/xml'],
  ['XML that speaks of GPX', '<notes><gpx/></notes>', 'application/xml'],
  ['HTML', '<!DOCTYPE html>\n<html><body>x', 'text/html'],
  ['HTML without document type', '<!-- x --><HTML>\n', 'text/html'],
  ['text in angle brackets', '<1 mm deviation is fine', 'text/plain'],
  ['JSON object', '\ufeff{\n  "vin": "X" }', 'application/json'],
  ['JSON array', '[ {"a": 1} ]', 'application/json'],
  ['JSON numbers', '[1, -2.5e3]', 'application/json'],
  ['empty JSON object', '{}\n', 'application/json'],
  ['text in braces', '{see page 2}', 'text/plain'],
  ['text in brackets', '[OK] radar aligned', 'text/plain'],
  ['YAML with a marker', '---\nvin: X\n', 'application/yaml'],
  ['YAML with nesting', '# export\nscan:\n  tool: x\n  codes:\n    - C1A67\n', 'application/yaml'],
  ['a report of labels and values', 'VIN: X\nDate: 2026-03-14\nModules:\n  ABS: no fault\n', 'text/plain'],
  ['NMEA', '$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\r\n', 'text/x-nmea'],
  ['NMEA behind a comment', '# vehicle X\n$GNGGA,1,2,3*4F\n$GNRMC,1,2*5E\n', 'text/x-nmea'],
  ['prices', '$325,00 calibration\n$20,00 scan\n', 'text/plain'],
  ['CSV', 'time,lat,lon\n0,39.7,-105.0\n1,39.7,-105.1\n', 'text/csv'],
  ['CSV with semicolons and decimal commas', 'Zeit;Wert\n0;1,5\n1;2,5\n', 'text/csv'],
  ['CSV with quotation marks', 'code,text\nC1A67,"Radar, front"\nC1B00,"Camera, front, low"\nU0100,none\n', 'text/csv'],
  ['CSV of two lines', 'a,b,c\n1,2,3\n', 'text/csv'],
  [
    'CSV of pairs under headings',
    'Report,Calibration\nVIN,X\nJob no.,26-4324\n\n1. Rear camera\nMode,Static\nOutcome,Completed\nSource,"A, issued B"\n',
    'text/csv',
  ],
  [
    'decimal commas under headings',
    `Werte\n${'Spannung 12,5 V\n'.repeat(4)}Wege\n${'Weg 7,5 m\n'.repeat(4)}`,
    'text/plain',
  ],
  ['CSV behind a header of labels', `Job: 7\nVIN: X\n\ntime,speed,lat\n${'1,2,3\n'.repeat(20)}`, 'text/csv'],
  ['CSV in UTF-16', utf16('a,b,c\n1,2,3\n4,5,6\n'), 'text/csv'],
  ['TSV', 'a\tb\n1\t2\n3\t4\n', 'text/tab-separated-values'],
  [
    'CSV with a note in it',
    `Job,7\nVIN,X\n\na,b,c\n1,2,3\n4,5,6\n7,8,9\nNote,Completed at the first attempt.\n`,
    'text/csv',
  ],
  ['prose with commas', 'Radar aligned, then driven.\nNo codes, no warnings, all well.\nSigned.\n', 'text/plain'],
  ['text in UTF-8', 'Prüfung bestanden: 0 °\n', 'text/plain'],
  ['text in UTF-16, big-endian', Buffer.from(utf16('Prüfung bestanden')).swap16(), 'text/plain'],
  ['text in Latin-1', latin1('Pr\xfcfung bestanden: 0 \xb0\n'), 'text/plain'],
  ['white space', ' \r\n\t', 'text/plain'],
  ['printer text with escapes', '\x1b[1mRESULT\x1b[0m pass\f', 'text/plain'],
  ['UTF-16 without a mark', Buffer.from('no mark', 'utf16le'), 'application/octet-stream'],
  ['half a character pair in UTF-16', latin1('\xff\xfe\x00\xd8\x20\x00'), 'application/octet-stream'],
  ['NULs', '\0\0\0\0', 'application/octet-stream'],
  ['noise of high bytes', latin1('\xfe\xed\xfa\xce\xa0\xb1\xc2'), 'application/octet-stream'],
]

describe('sniff', () => {
  it.each(samples)('%s', (_, bytes, media) => {
    expect(sniff(typeof bytes === 'string' ? Buffer.from(bytes) : bytes)).toBe(media)
  })

  it('has a sample of every media type', () => {
    expect(new Set(samples.map(([, , media]) => media))).toEqual(new Set(mediaTypes))
  })

  it('knows files as they are: this test and a package manifest', () => {
    const root = fileURLToPath(new URL('../../', import.meta.url))
    expect(sniff(readFileSync(`${root}package.json`))).toBe('application/json')
    expect(sniff(readFileSync(fileURLToPath(import.meta.url)))).toBe('text/plain')
  })

  it('says the same of the head as of the whole', () => {
    // An umlaut of two bytes severed by the cut must not turn text into something else.
    const text = Buffer.from(`${'x'.repeat(sniffBytes - 1)}ü and on`)
    expect(sniff(text)).toBe('text/plain')
    expect(sniff(text.subarray(0, sniffBytes))).toBe('text/plain')
    expect(sniff(Buffer.from('ü').subarray(0, 1))).toBe('application/octet-stream')
  })

  it('answers for any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        expect(mediaTypes).toContain(sniff(bytes))
      }),
    )
  })

  const hostile = [
    '<!DOCTYPE a',
    '<!--',
    '<?',
    '<a ',
    '{"',
    '["',
    '[1',
    '$GP',
    '---\n',
    'a:\n',
    '"',
    ',"',
    '\n',
    '%PDF-',
    '<a\n',
  ]
  it.each(hostile)('stays quick on 64 KiB of %j', (piece) => {
    const bytes = Buffer.from(piece.repeat(sniffBytes / piece.length))
    const start = performance.now()
    sniff(bytes)
    sniff(Buffer.concat([Buffer.from(piece), Buffer.alloc(sniffBytes, 'a')]))
    expect(performance.now() - start).toBeLessThan(500)
  })
})
