/** Values of PDF as they are written, read back by the scanner that examines files and by pdf-lib. */
import { PDFArray, PDFContext, PDFObjectParser } from '@cantoo/pdf-lib'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { writeDate, writeText, writeValue } from '../../../src/seal/pdf/append.ts'
import { textOf } from '../../../src/seal/pdf/reading/file.ts'
import { type PdfValue, readValue, scan } from '../../../src/seal/pdf/reading/syntax.ts'

const bytesOf = (text: string): Uint8Array => new Uint8Array(Buffer.from(text, 'latin1'))
const latinLetters = fc.string({ unit: fc.integer({ min: 1, max: 255 }).map((code) => String.fromCharCode(code)) })

const value = fc.letrec<{ value: PdfValue }>((tie) => ({
  value: fc.oneof(
    { depthSize: 'small' },
    fc.constant<PdfValue>({ kind: 'null' }),
    fc.boolean().map((truth): PdfValue => ({ kind: 'boolean', value: truth })),
    fc.integer().map((number): PdfValue => ({ kind: 'number', value: number })),
    fc.integer({ min: -9999, max: 9999 }).map((number): PdfValue => ({ kind: 'number', value: number / 8 })),
    latinLetters.map((name): PdfValue => ({ kind: 'name', value: name })),
    fc.record({ number: fc.nat(9999), generation: fc.nat(9) }).map((one): PdfValue => ({ kind: 'reference', ...one })),
    fc.uint8Array().map((bytes): PdfValue => ({ kind: 'string', value: bytes, start: 0, end: 0, plainHex: true })),
    fc.array(tie('value')).map((items): PdfValue => ({ kind: 'array', items })),
    fc
      .array(fc.tuple(latinLetters, tie('value')))
      .map((entries): PdfValue => ({ kind: 'dictionary', entries: new Map(entries), doubled: [] })),
  ),
})).value

/** Positions are those of the file that a string was read from. */
const bare = (one: PdfValue): unknown => {
  if (one.kind === 'string') return Buffer.from(one.value).toString('hex')
  if (one.kind === 'array') return one.items.map(bare)
  if (one.kind === 'dictionary') return [...one.entries].map(([key, item]) => [key, bare(item)])
  return one
}

test('what is written is read back as it was', () => {
  fc.assert(
    fc.property(value, (one) => {
      expect(bare(readValue(scan(bytesOf(writeValue(one)), 0)))).toEqual(bare(one))
    }),
  )
})

test('pdf-lib reads as many values, and writes them back the same', () => {
  fc.assert(
    fc.property(fc.array(value, { minLength: 1 }), (items) => {
      const text = writeValue({ kind: 'array', items })
      const parsed = PDFObjectParser.forBytes(bytesOf(text), PDFContext.create()).parseObject()
      expect(parsed).toBeInstanceOf(PDFArray)
      expect((parsed as PDFArray).size()).toBe(items.length)
    }),
  )
})

test('text of any letters and times are written as ISO 32000-1, 7.9 says', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), (text) => {
      expect(textOf(readValue(scan(bytesOf(writeText(text)), 0)))).toBe(text)
    }),
  )
  expect(writeDate(new Date('2026-11-25T09:30:15.750Z'))).toBe('(D:20261125093015Z)')
})
