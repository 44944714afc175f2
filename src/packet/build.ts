/** Puts one vehicle's packet together. */
import type { DocumentFacts } from '../facts/document.ts'
import type { SealExamination } from '../facts/seal.ts'
import { type ClockErrors, usualClockErrors } from './clocks.ts'
import { compareText, draftEvents } from './events.ts'
import type { Declaration, FileContent, Packet } from './packet.ts'
import { assignScanKinds } from './scan-kinds.ts'
import { buildTimeline } from './timeline.ts'

export interface PacketSource {
  name: string
  /** `sha256:` of the sorted list of file hashes and paths. */
  digest: string
  /** The day of review, `YYYY-MM-DD`. */
  reviewed: string
  documents: readonly DocumentFacts[]
  declaration: Declaration | null
  /** By file. */
  content?: Readonly<Record<string, FileContent>>
  /** What an examination of the seal or of lists of digests found. */
  seal?: SealExamination | null
  options?: {
    /** Seconds either way that clocks of a kind may be off, where not the usual. */
    clockErrors?: Partial<ClockErrors>
  }
}

/** The value that most documents give; undefined when two are given equally often, or none is. */
function findMajority<Value extends string | number>(values: readonly (Value | undefined)[]): Value | undefined {
  const votes = new Map<Value, number>()
  for (const value of values) if (value !== undefined) votes.set(value, (votes.get(value) ?? 0) + 1)
  const [first, second] = [...votes].toSorted((a, b) => b[1] - a[1])
  return first !== undefined && first[1] !== second?.[1] ? first[0] : undefined
}

const vinLength = 17

/**
 * Which vehicle the packet is about: what most documents say, each having one vote. The declaration speaks only where no
 * document does: a tie between documents stays a tie, because settling it is the reviewer's business.
 */
function identifyVehicle(documents: readonly DocumentFacts[], declaration: Declaration | null): Packet['vehicle'] {
  const declared = declaration?.vehicle ?? {}
  const agree = <Value extends string | number>(values: (Value | undefined)[], otherwise: Value | undefined) =>
    values.some((value) => value !== undefined) ? findMajority(values) : otherwise
  const vins = documents.map(({ vin }) => (vin?.length === vinLength ? vin.toUpperCase() : undefined))
  const year = agree(
    documents.map(({ vehicle }) => vehicle?.year),
    declared.year,
  )
  const make = agree(
    documents.map(({ vehicle }) => vehicle?.make),
    declared.make,
  )
  const model = agree(
    documents.map(({ vehicle }) => vehicle?.model),
    declared.model,
  )
  const plate = agree(
    documents.map((document) => document.plate),
    declared.plate,
  )
  return {
    vin: agree(vins, declared.vin?.toUpperCase()) ?? null,
    ...(year !== undefined && { year }),
    ...(make !== undefined && { make }),
    ...(model !== undefined && { model }),
    ...(plate !== undefined && { plate }),
  }
}

/** Builds the packet from its documents, in whatever order they come. Pure: the same source gives the same packet. */
export function buildPacket(source: PacketSource): Packet {
  const { name, digest, reviewed, declaration } = source
  const options = {
    clockErrors: { ...usualClockErrors, ...source.options?.clockErrors },
    zone: declaration?.zone ?? null,
  }
  const sorted = source.documents.toSorted((a, b) => compareText(a.file, b.file))
  const documents = assignScanKinds(sorted, declaration, options)
  const { timeline, events } = buildTimeline(draftEvents(documents, declaration), options)
  const vehicle = identifyVehicle(documents, declaration)
  const { content = {}, seal = null } = source
  return { name, digest, reviewed, declaration, documents, content, events, timeline, vehicle, seal }
}
