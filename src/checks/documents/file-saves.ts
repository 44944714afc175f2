/** What a file tells of its own saving: by which programs, and when. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { PdfWriter } from '../../facts/pdf-history.ts'
import { mentions } from '../wording.ts'
import { isSameProgram, namePrograms } from './file-programs.ts'

/**
 * `other-program`: one program made it and another saved it; `later`: it was saved long after it was made; `editor`: a
 * program made it with which people draw and edit; `by-hand`: it is laid out for changes by hand.
 */
export interface SaveTrace {
  kind: 'other-program' | 'later' | 'editor' | 'by-hand'
  first: string
  latest: string
  created: string
  modified: string
}

export interface SaveLimits {
  /** Seconds that one save may take. */
  saveSeconds: number
  drawingPrograms: readonly string[]
}

/** In the order in which they weigh. */
export function listTraces({ pdf }: DocumentFacts, limits: SaveLimits): SaveTrace[] {
  const writers = (pdf?.revisions ?? []).flatMap(({ writer }) => writer ?? [])
  const last = writers.at(-1)
  if (pdf === undefined || last === undefined) return []
  const { created = '', modified = '' } = last
  const common = { first: namePrograms(writers[0] ?? last), latest: namePrograms(last), created, modified }
  const traces: SaveTrace[] = []
  const other = findOtherProgram(writers)
  if (other !== null) traces.push({ kind: 'other-program', ...common, ...other })
  if (pdf.madeForEditing) traces.push({ kind: 'by-hand', ...common })
  const drawing = [last.creator, last.producer, last.tool].find(
    (name) => name !== undefined && mentions(name, limits.drawingPrograms),
  )
  if (drawing !== undefined) traces.push({ kind: 'editor', ...common, latest: drawing })
  const late = latestGap(writers)
  if (late !== null && late.seconds > limits.saveSeconds) traces.push({ kind: 'later', ...common, ...late.told })
  return traces
}

/** Of two revisions, or of the list of saves that the file keeps. */
function findOtherProgram(writers: readonly PdfWriter[]): { first: string; latest: string } | null {
  for (const [index, writer] of writers.entries()) {
    const next = writers[index + 1]
    if (next === undefined) break
    for (const key of ['producer', 'creator'] as const) {
      const [before, after] = [writer[key], next[key]]
      if (before !== undefined && after !== undefined && !isSameProgram(before, after))
        return { first: before, latest: after }
    }
  }
  const programs = (writers.at(-1)?.saves ?? []).flatMap(({ program }) => program ?? [])
  const [first] = programs
  const latest = programs.find((program) => first !== undefined && !isSameProgram(first, program))
  return first !== undefined && latest !== undefined ? { first, latest } : null
}

/** From when it says it was made to when it says it was last saved, in any of its states. */
function latestGap(writers: readonly PdfWriter[]) {
  const gaps = writers.flatMap(({ created = '', modified = '' }) => {
    const seconds = gapSeconds(created, modified)
    return seconds === null ? [] : [{ seconds, told: { created, modified } }]
  })
  return gaps.toSorted((a, b) => b.seconds - a.seconds)[0] ?? null
}

const form = /^(\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?)(?:\.\d+)?(Z|[+-]\d\d:\d\d)?$/

/** Offsets of zones lie at most so far apart. */
const widestZones = 26 * 3600

/** Null where one of the two is no time; where one alone has a zone, the least that it can be. */
function gapSeconds(created: string, modified: string): number | null {
  const [one, other] = [form.exec(created), form.exec(modified)]
  if (one === null || other === null) return null
  const read = ([, figures, offset]: RegExpExecArray) => Date.parse(`${figures}${offset ?? 'Z'}`)
  const seconds = (read(other) - read(one)) / 1000
  if (Number.isNaN(seconds)) return null
  return (one[2] === undefined) === (other[2] === undefined) ? seconds : seconds - widestZones
}
