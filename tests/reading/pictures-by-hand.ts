/** Pictures written out byte by byte, after ITU-T T.81, W3C PNG, TIFF 6.0, RFC 9649 and CIPA DC-008 (Exif). */
import { crc32, deflateSync } from 'node:zlib'

type Value = string | number | readonly (readonly [number, number])[] | Directory
/** Tag number to value: text is ASCII, a number is a LONG, pairs are RATIONAL, a directory is a pointer to one. */
export interface Directory {
  readonly [tag: number]: Value
}

const isText = (value: Value) => typeof value === 'string'

/** A little-endian TIFF structure with one directory and those it points to. */
export function writeTiff(directory: Directory, offset = 8): Buffer {
  const header = Buffer.from('II*\0\x08\0\0\0', 'latin1')
  return Buffer.concat([header, writeDirectory(directory, offset)])
}

function writeDirectory(directory: Directory, offset: number): Buffer {
  const tags = Object.entries(directory).map(([tag, value]): [number, Value] => [Number(tag), value])
  const head = Buffer.alloc(2 + 12 * tags.length + 4)
  head.writeUInt16LE(tags.length, 0)
  const data: Buffer[] = []
  let next = offset + head.length
  tags.forEach(([tag, value], index) => {
    const at = 2 + 12 * index
    head.writeUInt16LE(tag, at)
    if (typeof value === 'number') {
      head.writeUInt16LE(4, at + 2)
      head.writeUInt32LE(1, at + 4)
      head.writeUInt32LE(value, at + 8)
      return
    }
    const bytes = isText(value)
      ? Buffer.from(`${value}\0`, 'latin1')
      : Array.isArray(value)
        ? Buffer.concat(value.map(([over, under]) => Buffer.from(new Uint32Array([over, under]).buffer)))
        : writeDirectory(value as Directory, next)
    const count = isText(value) ? bytes.length : Array.isArray(value) ? value.length : 1
    head.writeUInt16LE(isText(value) ? 2 : Array.isArray(value) ? 5 : 4, at + 2)
    head.writeUInt32LE(count, at + 4)
    if (isText(value) && bytes.length <= 4) {
      bytes.copy(head, at + 8)
      return
    }
    head.writeUInt32LE(next, at + 8)
    const padded = bytes.length % 2 === 0 ? bytes : Buffer.concat([bytes, Buffer.alloc(1)])
    data.push(padded)
    next += padded.length
  })
  return Buffer.concat([head, ...data])
}

const segment = (marker: number, body: Buffer) => {
  const head = Buffer.from([0xff, marker, 0, 0])
  head.writeUInt16BE(body.length + 2, 2)
  return Buffer.concat([head, body])
}

/** A JPEG file's structure around data that nobody decodes. */
export function writeJpeg(width: number, height: number, exif?: Buffer): Buffer {
  const frame = Buffer.from([8, 0, 0, 0, 0, 1, 1, 0x11, 0])
  frame.writeUInt16BE(height, 1)
  frame.writeUInt16BE(width, 3)
  return Buffer.concat([
    Buffer.from([0xff, 0xd8]),
    ...(exif ? [segment(0xe1, Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), exif]))] : []),
    segment(0xc0, frame),
    segment(0xda, Buffer.from([1, 1, 0, 0, 63, 0])),
    Buffer.alloc(200, 0x55),
    Buffer.from([0xff, 0xd9]),
  ])
}

function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data])
  const length = Buffer.alloc(4)
  length.writeUInt32BE(data.length)
  const sum = Buffer.alloc(4)
  sum.writeUInt32BE(crc32(body))
  return Buffer.concat([length, body, sum])
}

/** A grey PNG with text chunks. */
export function writePng(width: number, height: number, text: Record<string, string> = {}): Buffer {
  const header = Buffer.alloc(13)
  header.writeUInt32BE(width, 0)
  header.writeUInt32BE(height, 4)
  header[8] = 8
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', header),
    ...Object.entries(text).map(([key, value]) => chunk('tEXt', Buffer.from(`${key}\0${value}`, 'latin1'))),
    chunk('IDAT', deflateSync(Buffer.alloc((width + 1) * height))),
    chunk('IEND', Buffer.alloc(0)),
  ])
}

/** An extended WebP file (RFC 9649, 2.7) with an EXIF chunk. */
export function writeWebp(width: number, height: number, exif: Buffer): Buffer {
  const riff = (type: string, data: Buffer) => {
    const head = Buffer.from(`${type}\0\0\0\0`, 'latin1')
    head.writeUInt32LE(data.length, 4)
    return Buffer.concat([head, data, Buffer.alloc(data.length % 2)])
  }
  const extended = Buffer.alloc(10)
  extended[0] = 0x08
  extended.writeUIntLE(width - 1, 4, 3)
  extended.writeUIntLE(height - 1, 7, 3)
  const body = Buffer.concat([
    Buffer.from('WEBP'),
    riff('VP8X', extended),
    riff('VP8L', Buffer.alloc(20)),
    riff('EXIF', exif),
  ])
  return riff('RIFF', body)
}
