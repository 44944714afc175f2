/**
 * What a check is: one claim about a packet, tested by a pure function.
 *
 * A check says that its claim is met, unmet or undecided; it never says how bad that is. The rulebook maps each message
 * of a check to a verdict, so that a shop and an insurer can weigh the same outcome differently. A message is an
 * id with data; its sentence is declared here once and put together in `findings`.
 */
import type { FilePlace } from '../facts/reading.ts'
import type { Packet, Statement } from '../packet/packet.ts'

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

export type Party = 'shop' | 'calibrator' | 'insurer' | 'owner'

export type DataValue = string | number | boolean | null | readonly (string | number)[]

export interface Outcome {
  state: 'met' | 'unmet' | 'undecided'
  /** A key of the check's `messages`. */
  message: string
  /** The values compared; every `{name}` of the message's sentence stands here. */
  data: Record<string, DataValue>
  evidence: FilePlace[]
  /** Where the outcome rests on the timeline: the smallest set of statements that settles it. */
  statements?: Statement[]
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
  exposes: readonly Party[]
  /** Returns at least one outcome; pure, and never throws for what a packet holds. */
  run(packet: Packet, parameters: Readonly<Record<string, Parameter>>): Outcome[]
}
