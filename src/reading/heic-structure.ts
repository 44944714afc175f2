/**
 * The size of a HEIC picture. ISO/IEC 14496-12, 4.2 (boxes) and 8.11.1 (`meta`); ISO/IEC 23008-12, 6.5 (properties) and
 * 9.3 (`ipma`); `pitm` names the picture that is meant, `ipco` lists properties, `ipma` says which are whose. `ispe` is
 * the size as stored, `clap` a part of it, `irot` a turn by quarters; the turn in Exif is only a remark (23008-12, A.2.3).
 * Nothing is decoded.
 */

export interface HeicSize {
  /** As stored. */
  width: number
  height: number
  /** As it is to be shown. */
  upright: { width: number; height: number }
}

interface Box {
  type: string
  /** Of its content. */
  start: number
  end: number
}

/** A picture of tiles has a few for each of at most some thousand tiles. */
const mostBoxes = 20_000

function boxesIn(view: DataView, start: number, end: number): Box[] {
  const boxes: Box[] = []
  for (let at = start; at + 8 <= end && boxes.length < mostBoxes; ) {
    const short = view.getUint32(at)
    const long = short === 1 && at + 16 <= end
    const size = short === 0 ? end - at : long ? Number(view.getBigUint64(at + 8)) : short
    const head = long ? 16 : 8
    if (size < head || at + size > end) break
    const type = String.fromCharCode(...[4, 5, 6, 7].map((byte) => view.getUint8(at + byte)))
    boxes.push({ type, start: at + head, end: at + size })
    at += size
  }
  return boxes
}

const find = (boxes: readonly Box[], type: string): Box | undefined => boxes.find((box) => box.type === type)

/** The size of the picture that the content of a `meta` box names; null where it does not say. */
export function readHeicSize(view: DataView, start: number, end: number): HeicSize | null {
  try {
    // A full box: version and flags stand before what it holds.
    const meta = boxesIn(view, start + 4, end)
    const primary = find(meta, 'pitm')
    const iprp = find(meta, 'iprp')
    const parts = iprp ? boxesIn(view, iprp.start, iprp.end) : []
    const container = find(parts, 'ipco')
    if (!primary || !container) return null
    const properties = boxesIn(view, container.start, container.end)
    const item =
      view.getUint8(primary.start) === 0 ? view.getUint16(primary.start + 4) : view.getUint32(primary.start + 4)
    const own = parts
      .filter(({ type }) => type === 'ipma')
      .flatMap((box) => associationsOf(view, box, item))
      .map((index) => properties[index - 1])
    return measure(
      view,
      own.filter((box) => box !== undefined),
    )
  } catch (error) {
    // A view throws RangeError for what lies outside.
    if (error instanceof RangeError) return null
    throw error
  }
}

/** Numbers of the properties of one item, from 1. */
function associationsOf(view: DataView, { start, end }: Box, item: number): number[] {
  const version = view.getUint8(start)
  const wide = (view.getUint8(start + 3) & 1) === 1
  let at = start + 8
  while (at < end) {
    const id = version < 1 ? view.getUint16(at) : view.getUint32(at)
    at += version < 1 ? 2 : 4
    const count = view.getUint8(at++)
    if (id === item) {
      return Array.from({ length: count }, (_, index) =>
        wide ? view.getUint16(at + 2 * index) & 0x7fff : view.getUint8(at + index) & 0x7f,
      )
    }
    at += count * (wide ? 2 : 1)
  }
  return []
}

function measure(view: DataView, properties: readonly Box[]): HeicSize | null {
  const stored = find(properties, 'ispe')
  if (!stored) return null
  const [width, height] = [view.getUint32(stored.start + 4), view.getUint32(stored.start + 8)]
  let upright = { width, height }
  // They apply in the order in which they are listed (23008-12, 6.3).
  for (const { type, start } of properties) {
    if (type === 'clap') {
      const part = (at: number) => Math.round(view.getUint32(start + at) / view.getUint32(start + at + 4))
      if (part(0) > 0 && part(8) > 0) upright = { width: part(0), height: part(8) }
    }
    if (type === 'irot' && view.getUint8(start) % 2 === 1) upright = { width: upright.height, height: upright.width }
  }
  return { width, height, upright }
}
