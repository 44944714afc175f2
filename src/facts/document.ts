/** The facts of one file, as `witnessmark read FILE --json` prints them. A key that the file does not speak of is absent. */
import type { PdfFacts } from './pdf-history.ts'
import type { PdfSignature } from './pdf-signature.ts'
import type { PictureMark, Place, Problem, ThumbnailLook } from './reading.ts'

export interface PictureSize {
  width: number
  height: number
}

/** `targets`: the set-up for a calibration; `screen`: a saved screen; `other`: anything else that is named. */
export interface PhotoSubject {
  shows: 'targets' | 'screen' | 'other'
  /** `declared`: by packet.yaml. */
  from: 'declared' | 'name' | 'caption' | 'bar-code'
  text: string
}

export const documentKinds = [
  'pre-scan',
  'post-scan',
  'scan',
  'calibration',
  'alignment',
  'drive-log',
  'estimate',
  'invoice',
  'photo',
  'statement',
  'other',
] as const
export type DocumentKind = (typeof documentKinds)[number]

export const sensors = [
  'front-radar',
  'front-camera',
  'corner-radar',
  'rear-camera',
  'surround-camera',
  'ultrasonic',
  'lidar',
  'infrared-camera',
  'steering-angle',
  'occupant-classification',
  'headlamp',
  'ride-height',
  'other',
] as const
export type Sensor = (typeof sensors)[number]

export type CalibrationMethod = 'static' | 'dynamic' | 'initialisation' | 'unknown'
export type CalibrationOutcome = 'completed' | 'failed' | 'aborted' | 'not-performed' | 'unknown'
export type ModuleState = 'no-fault' | 'fault' | 'no-response' | 'not-fitted' | 'unknown'
export type CodeStatus = 'active' | 'confirmed' | 'pending' | 'stored' | 'permanent' | 'unknown'

/** What part of the vehicle a module serves, as far as its name tells. */
export type VehicleSystem = 'driver-assistance' | 'brake' | 'steering' | 'restraint' | 'other'

/**
 * A date or date and time as printed.
 * `local`: `YYYY-MM-DD`, `YYYY-MM-DDTHH:MM` or `…:SS`, as much as was printed; null where day and month cannot be told apart.
 * `offset`: `+hh:mm` or `-hh:mm` as printed, else null. `earliest` and `latest`: UTC instants, RFC 3339, between which the
 * printed minute, second or day lies, whatever the zone may be.
 */
export interface DateReading {
  text: string
  local: string | null
  offset: string | null
  earliest: string
  latest: string
  /** Where day and month cannot be told apart: every local reading that fits. */
  alternatives?: string[]
  /** IANA name, where the offset was not printed but the packet declares the zone. */
  zone?: string
}

export interface InstrumentReading {
  name?: string
  serial?: string
  software?: string
  /** Version of the data that it calibrates by. */
  calibrationData?: string
  /** The last day on which its own check or licence holds. */
  checkedUntil?: DateReading
  /** When its own check was made. */
  checkedOn?: DateReading
}

/** Who drove, who watched the instrument meanwhile, and who reviewed or released the vehicle. */
export type PersonRole = 'driver' | 'observer' | 'reviewer'

export interface PersonReading {
  name: string
  role: PersonRole
}

export interface ModuleReading {
  name: string
  state: ModuleState
  system?: VehicleSystem
  sensor?: Sensor
  position?: string
}

/**
 * What a report tells of a code's test since the codes were cleared, by the bits of ISO 14229-1 or in words:
 * `not-since-clear` not completed since then (bit 4); `not-this-cycle` not completed in this operation cycle (bit 6);
 * `completed` neither.
 */
export type TestState = 'completed' | 'not-since-clear' | 'not-this-cycle'

export interface CodeReading {
  module?: string
  /** Five characters: letter, digit, three hexadecimal digits. */
  code: string
  /** Two hexadecimal digits, or null where none is printed. */
  failureType: string | null
  status: CodeStatus
  text?: string
  /** Of the module the code stands under, as far as its name tells. */
  system?: VehicleSystem
  /** The status byte as printed, two hexadecimal digits. */
  statusByte?: string
  test?: TestState
}

/**
 * What stands where a code should and is none. `look-alike`: a letter for a digit or the like, `likely` is the code it
 * looks like; `structure`: a code letter before what breaks the structure of SAE J2012; `own-number`: a number of some
 * maker's own, which need not have that structure.
 */
export interface UnreadCode {
  text: string
  fault: 'look-alike' | 'structure' | 'own-number'
  likely?: string
}

/** What has passed since the codes were cleared, as the vehicle itself counts it. */
export interface SinceClear {
  metres?: number
  /** Warm-up, drive or ignition cycles. */
  cycles?: number
  minutes?: number
  /** True where the scan says of itself, not of one code, that tests were not completed since then. */
  untested?: true
  /** As printed. */
  text: string
}

export const conditionKinds = [
  'battery-support',
  'supply-volts',
  'tire-pressure',
  'fuel',
  'load',
  'ride-height',
  'steering-zero',
  'floor',
  'target-distance',
  'target-height',
  'target-position',
  'light',
] as const
export type ConditionKind = (typeof conditionKinds)[number]

/** A wheel, or both wheels of an axle where one figure is given for them. */
export type Wheel = 'front-left' | 'front-right' | 'rear-left' | 'rear-right' | 'front' | 'rear'

/** A condition of the vehicle, the bay or the targets that a record states. */
export interface Condition {
  about: ConditionKind
  /** As printed. */
  text: string
  /** In `unit`; absent where the record says it in words alone. */
  value?: number
  unit?: string
  least?: number
  most?: number
  /** For a tire: the placard's pressure, in `unit`. */
  wanted?: number
  wheel?: Wheel
  /** Whether the record itself calls it in or out of order. */
  stated?: 'ok' | 'out'
}

export interface MeasuredValue {
  name: string
  value: number
  unit: string | null
  least?: number
  most?: number
  stated: 'ok' | 'out' | null
}

export interface CalibrationAttempt {
  outcome: CalibrationOutcome
  progressPercent?: number
  at?: DateReading
}

export interface CalibrationReading {
  sensor: Sensor
  position: string | null
  method: CalibrationMethod
  outcome: CalibrationOutcome
  progressPercent?: number
  started?: DateReading
  ended?: DateReading
  durationSeconds?: number
  serial?: string
  part?: string
  procedure?: string
  values?: MeasuredValue[]
  attempts?: CalibrationAttempt[]
  /** How many attempts the record says that it took, this one included. */
  attemptCount?: number
  /** The percentage as it climbed, where the record lists it; in the order of the record. */
  readings?: { percent: number; at?: DateReading }[]
  /** The sensor's name as printed. */
  name?: string
  /** Distance of the learning drive where the record states one. */
  distanceMetres?: number
}

export interface DriveReading {
  started: DateReading | null
  ended: DateReading | null
  durationSeconds: number | null
  distanceMetres: number | null
  points: number
  movingSeconds: number | null
  meanSpeedKmh: number | null
  maxSpeedKmh: number | null
  start: readonly [number, number] | null
  end: readonly [number, number] | null
}

export type OperationKind = 'repair' | 'scan' | 'calibration' | 'alignment' | 'other'

export interface OperationReading {
  text: string
  /** Sensors whose calibration this operation is (kind calibration) or usually calls for (kind repair, alignment). */
  calls: Sensor[]
  billed: boolean
  amount?: number
  kind: OperationKind
  /** For kind calibration: the method named in the text. */
  method?: CalibrationMethod
  position?: string | null
  /** For kind scan: which one. */
  scan?: 'before' | 'after'
  serial?: string
  part?: string
}

export interface DocumentFacts {
  file: string
  sha256: string
  bytes: number
  media: string
  kind: DocumentKind
  kindFrom: 'declared' | 'heading' | 'content' | 'name' | 'inferred'
  vin?: string
  vins?: { value: string; evidence: Place[] }[]
  date?: DateReading
  /** Date of the damage that the claim is about. */
  lossDate?: DateReading
  odometer?: { value: number; unit: 'mi' | 'km' | null }
  vehicle?: { year?: number; make?: string; model?: string }
  plate?: string
  jobNumber?: string
  claimNumber?: string
  batteryVolts?: number
  technician?: string
  instrument?: InstrumentReading
  people?: PersonReading[]
  modules?: ModuleReading[]
  codes?: CodeReading[]
  statedCodeCount?: number | null
  statedModuleCount?: number
  unreadCodes?: UnreadCode[]
  sinceClear?: SinceClear
  conditions?: Condition[]
  calibrations?: CalibrationReading[]
  alignment?: { values: MeasuredValue[]; outcome: CalibrationOutcome; ended?: DateReading }
  drive?: DriveReading
  operations?: OperationReading[]
  photo?: {
    taken: DateReading | null
    location: readonly [number, number] | null
    camera?: string
    software?: string
    lens?: string
    /** Of the camera. */
    serial?: string
    /** Whether anything stands in the file that cameras write; absent where its format is not read for it. */
    cameraData?: boolean
    /** Pixels as stored. */
    size?: PictureSize
    /** Pixels that the camera wrote it stored. */
    statedSize?: PictureSize
    /** What programs left that worked on it. */
    marks?: PictureMark[]
    /** Titles, descriptions and comments. */
    captions?: string[]
    /** Of a JPEG: the same mark for the same quantisation tables; their quality where they are the standard's own. */
    quantisation?: { mark: string; quality: number | null }
    /** The camera's small copy in the file; absent where there is none, or where nobody looked. */
    thumbnail?: ThumbnailLook
    /** What it shows by the words of its name or caption, or by the bar code of a VIN. */
    subject?: PhotoSubject
    /** Absent where nobody looked for them. */
    barcodes?: { symbology: string; text: string }[]
    /** See `Look`: near for copies of one picture. */
    likeness?: string
  }
  /** Bar codes on the pages of a file that is no picture; absent where none was found. Of one that shows photos, empty then, and absent where nobody looked. */
  barcodes?: { symbology: string; text: string }[]
  /** Signatures in a PDF, in the order of its form; absent where there are none. */
  signatures?: PdfSignature[]
  /** How a PDF is built and came to be so; absent for what is none, and where it was not read or cannot be followed. */
  pdf?: PdfFacts
  /** Statements in running text that bear on the order of the work: "codes cleared 17-SEP-2026". */
  statements?: { about: 'codes-cleared' | 'released' | 'repaired' | 'watched'; text: string; date?: DateReading }[]
  pages?: number
  problems: Problem[]
  /** Dotted path of a fact (`vin`, `codes.0`, `calibrations.0.ended`) to the places it was read at. */
  evidence: Record<string, Place[]>
}
