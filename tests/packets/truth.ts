/** What a packet's maker says of it: the facts of each file, and the findings that its planted defects must raise. */
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

export interface TrueDate {
  local: string
  offset?: string | null
}

export interface TrueCalibration {
  sensor: string
  method?: string
  position?: string | null
  outcome?: string
  progressPercent?: number
  serial?: string
  durationSeconds?: number
  started?: TrueDate | null
  ended?: TrueDate | null
  values?: { name: string; value: number }[]
}

export interface TrueDocument {
  kind: string
  vin?: string
  date?: TrueDate | null
  odometer?: { value: number; unit?: string }
  vehicle?: { year?: number }
  jobNumber?: string
  claimNumber?: string
  plate?: string
  technician?: string
  batteryVolts?: number
  instrument?: { serial?: string; software?: string }
  statedCodeCount?: number | null
  pages?: number
  codes?: { code: string; failureType?: string | null; status?: string }[]
  modules?: { name: string; state?: string }[]
  calibrations?: TrueCalibration[]
  drive?: { points?: number; durationSeconds?: number; distanceMetres?: number }
  operations?: { text: string; amount?: number | null }[]
  photo?: { taken?: TrueDate | null }
}

export interface TrueFinding {
  check: string
  verdict: 'warn' | 'fail'
  files: string[]
  why: string
}

export interface Truth {
  clean: boolean
  /** By path within `files`. */
  documents: Record<string, TrueDocument>
  expected: TrueFinding[]
  /** Checks that may fail too, without being what was planted. */
  allowed: string[]
}

export interface PacketFolder {
  name: string
  /** The folder of its files, as one would hand it to `witnessmark check`. */
  files: string
  truth: Truth
}

/** The packets of a set of this folder, by name. */
export function packetsOf(set: string): PacketFolder[] {
  const folder = fileURLToPath(new URL(set, import.meta.url))
  return readdirSync(folder)
    .filter((name) => /^p\d\d$/.test(name))
    .sort()
    .map((name) => ({
      name: `${set}/${name}`,
      files: `${folder}/${name}/files`,
      truth: JSON.parse(readFileSync(`${folder}/${name}/truth.json`, 'utf8')) as Truth,
    }))
}
