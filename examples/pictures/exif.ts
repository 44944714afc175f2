/** What a phone writes beside its picture: a hand-made Exif 2.31 segment (big-endian TIFF). */
import { parts } from '../times.ts'

export interface Shot {
  /** Seconds, local. */
  taken: number
  offset: string
  make: string
  model: string
  latitude?: number
  longitude?: number
}

interface Entry {
  tag: number
  type: number
  count: number
  data: number[]
}

const [ascii, short, long, rational, undefinedBytes] = [2, 3, 4, 5, 7]
const u16 = (value: number): number[] => [(value >> 8) & 255, value & 255]
const u32 = (value: number): number[] => [(value >>> 24) & 255, (value >>> 16) & 255, (value >>> 8) & 255, value & 255]
const signs = (text: string): number[] => [...text].map((sign) => sign.charCodeAt(0))

const word = (tag: number, text: string): Entry => ({
  tag,
  type: ascii,
  count: text.length + 1,
  data: [...signs(text), 0],
})
const whole = (tag: number, value: number): Entry => ({ tag, type: short, count: 1, data: u16(value) })
const pointer = (tag: number, value: number): Entry => ({ tag, type: long, count: 1, data: u32(value) })
const ratios = (tag: number, values: readonly (readonly [number, number])[]): Entry => ({
  tag,
  type: rational,
  count: values.length,
  data: values.flatMap(([above, below]) => [...u32(above), ...u32(below)]),
})

function directory(entries: Entry[], start: number): number[] {
  const sorted = [...entries].sort((a, b) => a.tag - b.tag)
  let behind = start + 2 + sorted.length * 12 + 4
  const tail: number[] = []
  const rows = sorted.flatMap(({ tag, type, count, data }) => {
    const head = [...u16(tag), ...u16(type), ...u32(count)]
    if (data.length <= 4) return [...head, ...data, ...Array.from({ length: 4 - data.length }, () => 0)]
    const row = [...head, ...u32(behind)]
    const even = data.length % 2 === 0 ? data : [...data, 0]
    tail.push(...even)
    behind += even.length
    return row
  })
  return [...u16(sorted.length), ...rows, ...u32(0), ...tail]
}

function degrees(value: number): (readonly [number, number])[] {
  const size = Math.abs(value)
  const minutes = (size % 1) * 60
  return [
    [Math.floor(size), 1],
    [Math.floor(minutes), 1],
    [Math.round((minutes % 1) * 6000), 100],
  ]
}

/** `2026:06:11 10:18:02` */
const stamp = (seconds: number): string => {
  const { year, month, day, hour, minute, second } = parts(seconds)
  const two = (value: number): string => String(value).padStart(2, '0')
  return `${year}:${two(month)}:${two(day)} ${two(hour)}:${two(minute)}:${two(second)}`
}

/** The body of an APP1 segment. */
export function writeExif(shot: Shot, width: number, height: number): number[] {
  const taken = stamp(shot.taken)
  const camera = [
    ratios(0x829a, [[1, 60]]),
    ratios(0x829d, [[18, 10]]),
    whole(0x8827, 160),
    { tag: 0x9000, type: undefinedBytes, count: 4, data: signs('0231') },
    word(0x9003, taken),
    word(0x9004, taken),
    word(0x9010, shot.offset),
    word(0x9011, shot.offset),
    ratios(0x920a, [[43, 10]]),
    pointer(0xa002, width),
    pointer(0xa003, height),
  ]
  const main = (exifAt: number, gpsAt: number | null): Entry[] => [
    word(0x010f, shot.make),
    word(0x0110, shot.model),
    whole(0x0112, 1),
    word(0x0132, taken),
    pointer(0x8769, exifAt),
    ...(gpsAt === null ? [] : [pointer(0x8825, gpsAt)]),
  ]
  const { latitude, longitude } = shot
  const located = latitude !== undefined && longitude !== undefined
  const mainLength = directory(main(0, located ? 0 : null), 8).length
  const exifAt = 8 + mainLength
  const exif = directory(camera, exifAt)
  const gpsAt = exifAt + exif.length
  const gps = located
    ? directory(
        [
          { tag: 0, type: 1, count: 4, data: [2, 3, 0, 0] },
          word(1, latitude < 0 ? 'S' : 'N'),
          ratios(2, degrees(latitude)),
          word(3, longitude < 0 ? 'W' : 'E'),
          ratios(4, degrees(longitude)),
        ],
        gpsAt,
      )
    : []
  const tiff = [
    ...signs('MM'),
    ...u16(42),
    ...u32(8),
    ...directory(main(exifAt, located ? gpsAt : null), 8),
    ...exif,
    ...gps,
  ]
  return [...signs('Exif'), 0, 0, ...tiff]
}
