/** Sheets seen aslant: projective maps of the plane, and pictures drawn through them. */

export type Point = readonly [number, number]
/** Row by row, 3 by 3, the last of them 1. */
export type Projection = readonly number[]

/** A picture as canvases hold it: four bytes a pixel. */
export interface Pixels {
  data: Uint8ClampedArray
  width: number
  height: number
}

/** The map that takes four points to four others: eight linear equations, solved by Gauss and Jordan with pivots. */
export function projectionOf(from: readonly Point[], to: readonly Point[]): Projection {
  const rows = from.flatMap(([x, y], index) => {
    const [u, v] = to[index] as Point
    return [
      [x, y, 1, 0, 0, 0, -u * x, -u * y, u],
      [0, 0, 0, x, y, 1, -v * x, -v * y, v],
    ]
  })
  for (let column = 0; column < 8; column++) {
    const rest = rows.slice(column).map((row) => Math.abs(row[column] as number))
    const pivot = column + rest.indexOf(Math.max(...rest))
    const chosen = rows[pivot] as number[]
    rows[pivot] = rows[column] as number[]
    rows[column] = chosen.map((value) => value / (chosen[column] as number))
    for (const [index, row] of rows.entries()) {
      if (index === column) continue
      const times = row[column] as number
      rows[index] = row.map((value, place) => value - times * ((rows[column] as number[])[place] as number))
    }
  }
  return [...rows.map((row) => row[8] as number), 1]
}

export function project(map: Projection, x: number, y: number): Point {
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = map
  const depth = g * x + h * y + 1
  return [(a * x + b * y + c) / depth, (d * x + e * y + f) / depth]
}

/** Draws `source` into `width` by `height` pixels: `back` takes a place of the result to one of the source (bilinear). */
export function warp(source: Pixels, width: number, height: number, back: Projection, ground: number): Pixels {
  const data = new Uint8ClampedArray(width * height * 4)
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = back
  const [lastX, lastY, stride] = [source.width - 1, source.height - 1, source.width * 4]
  const from = source.data
  for (let y = 0, at = 0; y < height; y++)
    for (let x = 0; x < width; x++, at += 4) {
      const depth = g * x + h * y + 1
      const [u, v] = [(a * x + b * y + c) / depth, (d * x + e * y + f) / depth]
      data[at + 3] = 255
      if (u < 0 || v < 0 || u >= lastX || v >= lastY) {
        data[at] = data[at + 1] = data[at + 2] = ground
        continue
      }
      const [left, top] = [Math.floor(u), Math.floor(v)]
      const [right, down] = [u - left, v - top]
      const corner = top * stride + left * 4
      for (let band = 0; band < 3; band++) {
        const place = corner + band
        const above = (from[place] as number) * (1 - right) + (from[place + 4] as number) * right
        const beneath = (from[place + stride] as number) * (1 - right) + (from[place + stride + 4] as number) * right
        data[at + band] = above * (1 - down) + beneath * down + 0.5
      }
    }
  return { data, width, height }
}
