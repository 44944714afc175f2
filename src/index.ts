/**
 * The public face of witnessmark. Everything here is pure but for what an `Outside` is handed: the file system and the
 * reading process of this machine are in `witnessmark/io`.
 */
export type {
  Check,
  DataValue,
  Group,
  MessageDeclaration,
  Outcome,
  Parameter,
  Party,
} from './checks/check.ts'
export { groups } from './checks/check.ts'
/** Every check, in one static list. */
export { checks } from './checks/index.ts'
export type * from './facts/document.ts'
export type { Box, FilePlace, Page, Place, Problem, Reading, Track, Word } from './facts/reading.ts'
export {
  compileVocabulary,
  parseVocabularyPage,
  type Vocabulary,
  VocabularyError,
  type VocabularyPage,
} from './facts/vocabulary.ts'
export { judge } from './findings/judge.ts'
export type { Finding, Report, ReportEvent, Verdict } from './findings/report.ts'
export { IntakeError, type IntakeErrorCode } from './intake/errors.ts'
export type { Storage } from './intake/storage.ts'
export type { Clock, Declaration, Packet, PacketEvent, Statement, Timeline } from './packet/packet.ts'
export { renderDocumentText } from './report/document-text.ts'
export { describeRule, type RuleDescription } from './report/rule-data.ts'
export { renderRule, renderRules } from './report/rules-text.ts'
export type { SheetOptions } from './report/sheet.ts'
export { formatJson, neutralise } from './report/terminal-text.ts'
export { renderText } from './report/text.ts'
export { checkPacket, DeclarationError, type Outside, readDocument, readPacket } from './review.ts'
export { findNearestName } from './rulebook/nearest.ts'
export { formatFaults, parseRulebook, type RulebookResult } from './rulebook/parse.ts'
export type { Rule, Rulebook, RulebookFault, Severity } from './rulebook/rulebook.ts'
