/** Damage and changes done to finished files: cut off, copied, revised, put through an editor. */
import type { Damage } from './draft.ts'

export const latin = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1')
const bytesOf = (text: string): Uint8Array => new Uint8Array(Buffer.from(text, 'latin1'))

/** Bodies by number, the last of each. */
export const listObjects = (pdf: string): Map<string, string> =>
  new Map(
    [...pdf.matchAll(/(?:^|\n)(\d+) 0 obj\n([\s\S]*?)\nendobj/g)].map(([, number = '', body = '']) => [number, body]),
  )

/** Appends an incremental update (ISO 32000-1, 7.5.6): changed objects, a cross-reference section of their own, a trailer. */
export function appendUpdate(original: string, changed: ReadonlyMap<string, string>): string {
  const last = original.slice(Math.max(0, original.lastIndexOf('trailer\n')))
  const trailer = /trailer\n<<\n([\s\S]*?)\n>>\nstartxref\n(\d+)\n%%EOF\s*$/.exec(last)
  if (!trailer) throw new Error('the PDF has no trailer')
  const [, stated = '', previous = ''] = trailer
  const size = (before: number) => changed.keys().reduce((most, number) => Math.max(most, Number(number) + 1), before)
  const entries = stated
    .replace(/\n?\/Prev \d+/, '')
    .replace(/\/Size (\d+)/, (_, before: string) => `/Size ${size(Number(before))}`)
  let text = original.endsWith('\n') ? original : `${original}\n`
  const rows = [...changed].map(([number, body]) => {
    const offset = text.length
    text += `${number} 0 obj\n${body}\nendobj\n`
    return `${number} 1\n${String(offset).padStart(10, '0')} 00000 n \n`
  })
  const start = text.length
  return `${text}xref\n${rows.join('')}trailer\n<<\n${entries}\n/Prev ${previous}\n>>\nstartxref\n${start}\n%%EOF\n`
}

/** What stands in `newer` and not in `older` becomes a later revision of `older`. */
export function revisePdf(older: Uint8Array, newer: Uint8Array): Uint8Array {
  const [first, second] = [latin(older), latin(newer)]
  const before = listObjects(first)
  const changed = new Map(
    [...listObjects(second)].filter(([number, body]) => body.includes('stream') && before.get(number) !== body),
  )
  return bytesOf(appendUpdate(first, changed))
}

/** Another program saves the file again three days later, and says so in its information. */
export function resavePdf(pdf: Uint8Array, made: number): Uint8Array {
  const text = latin(pdf)
  const stamp = new Date((made + 3 * 86_400) * 1000).toISOString().replaceAll(/[-:T]|\.\d+/g, '')
  for (const [number, body] of listObjects(text)) {
    if (!body.includes('/Producer') || !body.includes('/ModDate')) continue
    const modified = /\/ModDate (\d+) 0 R/.exec(body)?.[1] ?? ''
    const producer = /\/Producer (\d+) 0 R/.exec(body)?.[1] ?? ''
    return bytesOf(
      appendUpdate(
        text,
        new Map([
          [modified, `(D:${stamp})`],
          [producer, '(Blotter Writer 3)'],
          [number, body],
        ]),
      ),
    )
  }
  return pdf
}

/**
 * A program that edits pictures takes the camera's place: in the Exif directory (big-endian), the entry of the model (tag
 * 0x0110) becomes one of the software (0x0131), and its text the program's name.
 */
export function editPhoto(photo: Uint8Array): Uint8Array {
  const made = Uint8Array.from(photo)
  const at = Buffer.from(made.buffer).indexOf(Buffer.from([0x01, 0x10, 0x00, 0x02]))
  if (at < 0) return photo
  const view = new DataView(made.buffer)
  view.setUint16(at, 0x0131)
  const length = view.getUint32(at + 4) - 1
  // Offsets count from the byte order mark, which follows `Exif` and two zeros at the head of the segment.
  const text = 12 + view.getUint32(at + 8)
  made.set(bytesOf('Blotter Paint 4'.slice(0, length).padEnd(length)), text)
  return made
}

/** Damage that needs nothing but the bytes. */
export function damageBytes(bytes: Uint8Array, how: Damage['how'], made: number): Uint8Array {
  switch (how) {
    case 'cut':
      return bytes.slice(0, Math.floor(bytes.length * 0.3))
    case 'empty':
      return new Uint8Array()
    case 'garbage':
      return bytes.map((byte, index) => (index < 8 ? byte : (byte * 31 + index * 17) & 255))
    case 'resaved':
      return resavePdf(bytes, made)
    case 'edited':
      return editPhoto(bytes)
    default:
      return bytes
  }
}
