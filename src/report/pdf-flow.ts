/** Pieces put on pages one beneath the other, so that what belongs together stays together. */

/** Something that is not cut. */
export interface Piece {
  /** In points. */
  height: number
  /** Must the next piece stand on the same page? */
  keep: boolean
  /** Draws it with its top at `y`. */
  draw(y: number): void
  /** What to draw first where this piece comes first on a page: a table's heading row. */
  again?: { height: number; draw(y: number): void }
}

export interface Pages {
  top: number
  bottom: number
  /** Begins the next page. */
  next(): void
}

/** Lays the pieces out; the first page must have been begun. Pieces that are kept together but fill no page are cut. */
export function flow(pieces: readonly Piece[], { top, bottom, next }: Pages): void {
  let y = top
  let fresh = true
  const turn = (piece: Piece) => {
    next()
    y = top
    fresh = true
    if (piece.again === undefined) return
    piece.again.draw(y)
    y += piece.again.height
  }
  for (let index = 0; index < pieces.length; ) {
    const end = clusterEnd(pieces, index)
    const cluster = pieces.slice(index, end)
    const height = cluster.reduce((sum, piece) => sum + piece.height, 0)
    const [first] = cluster
    if (first && !fresh && y + height > bottom && height <= bottom - top - (first.again?.height ?? 0)) turn(first)
    for (const piece of cluster) {
      if (!fresh && y + piece.height > bottom) turn(piece)
      // Air at the top of a page is none.
      if (fresh && isAir(piece)) continue
      piece.draw(y)
      y += piece.height
      fresh = false
    }
    index = end
  }
}

/** After the first piece that lets its next go. */
function clusterEnd(pieces: readonly Piece[], start: number): number {
  let end = start
  while (end < pieces.length - 1 && pieces[end]?.keep) end++
  return end + 1
}

const airs = new WeakSet<Piece>()

/** An empty height before what follows. At the top of a page it is left out. */
export function air(height: number): Piece {
  const piece = { height, keep: true, draw() {} }
  airs.add(piece)
  return piece
}

const isAir = (piece: Piece): boolean => airs.has(piece)
