/**
 * What a check is: one claim about a packet, tested by a pure function.
 *
 * A check says that its claim is met, unmet or undecided; it never says how bad that is. The rulebook maps each message
 * of a check to a verdict, so that a shop and an insurer can weigh the same outcome differently. A message is an
 * id with data; its sentence is declared here once and put together in `findings`.
 */
import type { FilePlace } from '../facts/reading.ts'
import type { Packet, Statement } from '../packet/packet.ts'
import type { ProcedureEntry } from './procedures.ts'

export const groups = [
  'identity',
  'completeness',
  'order',
  'drive',
  'completion',
  'faults',
  'preconditions',
  'documents',
  'seal',
  'billing',
  'safety',
] as const
export type Group = (typeof groups)[number]

export const parties = ['shop', 'calibrator', 'insurer', 'owner'] as const
export type Party = (typeof parties)[number]

/** Who can hand over what would settle a finding. */
export type Supplier = Party | 'instrument-maker' | 'vehicle-maker'

/** The steps of a job, in the order of the work; `papers` is what is put together at the end, `seal` what
 * is done with the whole. */
export const workSteps = [
  'intake',
  'pre-scan',
  'repair',
  'alignment',
  'preparation',
  'static',
  'dynamic',
  'post-scan',
  'release',
  'papers',
  'seal',
] as const
export type WorkStep = (typeof workSteps)[number]

/** What a job is asked for once, or once for each … that it has. */
export type PlanScope =
  | 'job'
  | 'repair'
  | 'alignment'
  | 'calibration'
  | 'static'
  | 'dynamic'
  | 'initialisation'
  | 'replaced-sensor'

/** Evidence to collect while the work goes on, so that the check can be met: the check read backwards. */
export interface PlanLine {
  step: WorkStep
  per: PlanScope
  /** What to save or write down, as an instruction; `{subject}` stands for the calibration, sensor or operation. */
  text: string
}

export type DataValue = string | number | boolean | null | readonly (string | number)[]

/** Two readings of what should be one, or of what should be two. */
export interface Contrast {
  /** What is read, as a heading of a few words: "page 2". */
  what: string
  one: ContrastSide
  other: ContrastSide
}

/** A reading of the two; its text is empty where nothing stands. */
export interface ContrastSide extends FilePlace {
  /** Which of the two it is, as a heading of a few words: "first saved". */
  label: string
  /** Of a PDF: the place is in the part of the file up to this byte, an earlier state of it. */
  end?: number
}

export interface Outcome {
  state: 'met' | 'unmet' | 'undecided'
  /** A key of the check's `messages`. */
  message: string
  /** The values compared; every `{name}` of the message's sentence stands here. */
  data: Record<string, DataValue>
  evidence: FilePlace[]
  /** Readings that tell against each other, to be seen side by side. */
  contrasts?: readonly Contrast[]
  /** Where the outcome rests on the timeline: the smallest set of statements that settles it. */
  statements?: Statement[]
  /** Sources of the procedure's values that it rests on, beside the basis of the rule. */
  sources?: readonly string[]
  /** How the values were come by, step by step, for whoever asks why. */
  working?: readonly WorkingStep[]
}

/** One step of a calculation: a sentence and its values, put together like a message. */
export interface WorkingStep {
  text: string
  data: Record<string, DataValue>
}

/** A rule's number, list or word that a rulebook may set. */
export type Parameter = number | string | boolean | readonly string[] | Record<string, unknown>

export interface MessageDeclaration {
  state: Outcome['state']
  /** One sentence in plain words; `{name}` stands for a value of `data`. */
  text: string
}

export interface Check {
  id: string
  group: Group
  /** The claim tested, as a statement that is true when all is well. */
  claim: string
  messages: Record<string, MessageDeclaration>
  /** Names of the parameters it reads, each with what it means and its unit; values stand in the rulebook. */
  parameters: Record<string, string>
  /** What would settle an unmet or undecided outcome. */
  remedy: string
  /** Who can supply that, likeliest first. */
  suppliers: readonly Supplier[]
  /** Does settling it need the vehicle at hand, or papers alone? */
  settledWith: 'vehicle' | 'papers'
  /** Who is exposed if an unmet claim stands, and to what: words that follow "exposed to". No accusation, no legal advice. */
  exposes: Readonly<Partial<Record<Party, string>>>
  /** What to collect so that the claim can be shown; empty where other checks ask for all that it needs. */
  collect: readonly PlanLine[]
  /**
   * Returns at least one outcome; pure, and never throws for what a packet holds.
   * `procedures`: what is usual and possible for each sensor and method; see `findProcedure`.
   */
  run(packet: Packet, parameters: Readonly<Record<string, Parameter>>, procedures: readonly ProcedureEntry[]): Outcome[]
}
