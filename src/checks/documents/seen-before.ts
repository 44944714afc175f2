/** What a file's standing in another packet means: a judgement of one match, for `evidence-not-seen-before`. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { OtherPacket, Packet, SeenBefore } from '../../packet/packet.ts'

/** Numbers of the rulebook. */
export interface SeenLimits {
  mostLevels: number
  leastShare: number
  leastBits: number
  sureBits: number
  leastCorrelation: number
  mostSpeedDifference: number
  mostDegrees: number
  manyVehicles: number
}

/** Null: the match says nothing. In the order in which one outranks another for the same file. */
export const judgements = [
  'same-file',
  'same-report',
  'same-shot',
  'same-drive',
  'near-report',
  'same-picture',
  'same-paper',
  'names-this-vehicle',
  'vehicle-unclear',
  'other-moment',
  'kept-for-many',
  'own-earlier',
] as const
export type Judgement = (typeof judgements)[number]

/** `vehicles`: how many other vehicles' packets hold the same file. */
export function judgeMatch(
  packet: Packet,
  document: DocumentFacts,
  match: SeenBefore,
  limits: SeenLimits,
  vehicles: number,
): Judgement | null {
  const kind = judgeKind(packet, document, match, limits, vehicles)
  if (kind === null) return null
  const relation = relate(packet, match.other)
  if (relation === 'same') return 'own-earlier'
  return relation === 'unclear' && kind !== 'kept-for-many' ? 'vehicle-unclear' : kind
}

function judgeKind(
  packet: Packet,
  document: DocumentFacts,
  match: SeenBefore,
  limits: SeenLimits,
  vehicles: number,
): Judgement | null {
  switch (match.what) {
    case 'file':
      return judgeFile(packet, document, limits, vehicles)
    case 'text':
      return judgeText(match, limits)
    case 'picture':
      if ((match.measure ?? Number.POSITIVE_INFINITY) > limits.mostLevels) return null
      return match.moment === 'same' ? 'same-shot' : match.moment === 'another' ? 'other-moment' : 'same-picture'
    case 'track':
      return isSameDrive(match, limits) ? 'same-drive' : null
  }
}

/** One report, however it is dated: enough agrees that cannot be chance, and little of what was measured differs. */
function judgeText({ measure = 0, marks }: SeenBefore, { leastShare, leastBits, sureBits }: SeenLimits) {
  if (marks === undefined || measure < leastShare || marks.agreeing < leastBits) return null
  if (marks.differing === 0 && marks.agreeing >= sureBits) return 'same-report'
  return marks.differing * 4 <= marks.agreeing ? 'near-report' : null
}

function isSameDrive({ drive }: SeenBefore, limits: SeenLimits): boolean {
  if (drive === undefined) return false
  const { correlation, metresPerSecond, degrees } = drive
  const isOneSpeed = correlation >= limits.leastCorrelation && metresPerSecond <= limits.mostSpeedDifference
  return isOneSpeed && (degrees === null || degrees <= limits.mostDegrees)
}

const records: ReadonlySet<string> = new Set(['pre-scan', 'post-scan', 'scan', 'calibration', 'alignment', 'drive-log'])

/** Of papers, one may speak of several vehicles, or be the same for all of them. */
function judgeFile(
  { vehicle }: Packet,
  document: DocumentFacts,
  { manyVehicles }: SeenLimits,
  vehicles: number,
): Judgement | null {
  const { kind, vin, vins = [], photo } = document
  const named = new Set([...(vin === undefined ? [] : [vin]), ...vins.map(({ value }) => value)])
  const namesOwn = vehicle.vin !== null && named.has(vehicle.vin)
  if (namesOwn) return records.has(kind) && named.size === 1 ? 'names-this-vehicle' : null
  if (records.has(kind)) return 'same-file'
  if (kind === 'estimate' || kind === 'invoice') return 'same-paper'
  if (kind !== 'photo') return null
  if (photo?.taken) return 'same-file'
  return vehicles >= manyVehicles ? 'kept-for-many' : 'same-picture'
}

/** Numbers that differ in so few places may be one number, misread. */
const fewPlaces = 2

/** Is the other packet of this vehicle? `unclear` where a number lacks, is nearly the same, or the job is the same. */
export function relate({ vehicle, documents, declaration }: Packet, other: OtherPacket): 'same' | 'other' | 'unclear' {
  if (vehicle.vin !== null && vehicle.vin === other.vin) return 'same'
  const jobs = [declaration?.job, ...documents.map(({ jobNumber }) => jobNumber)]
  const isOneJob = other.job !== null && jobs.some((job) => job && fold(job) === fold(other.job ?? ''))
  if (vehicle.vin === null || other.vin === null || isOneJob) return 'unclear'
  const differing = [...vehicle.vin].filter((sign, at) => sign !== other.vin?.[at]).length
  return differing <= fewPlaces ? 'unclear' : 'other'
}

const fold = (text: string): string => text.toUpperCase().replace(/[^\p{L}\p{N}]/gu, '')
