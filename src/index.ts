/**
 * The public face of witnessmark: reads a packet, checks it, shows the report.
 *
 * Everything here is pure but for what it is handed as `Outside`. This machine's files, reading processes, clock and the
 * data that ship are in `witnessmark/io`. Same packet, vocabulary, rulebook and day of review: the same report.
 *
 * ```ts
 * import {
 *   checkPacket, checks, compileVocabulary, formatFaults, parseRulebook, parseVocabularyPage, renderText,
 * } from 'witnessmark'
 * import { fileSystem, readShippedRulebook, readShippedVocabulary, startReading } from 'witnessmark/io'
 *
 * const vocabulary = compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary.yaml')])
 * const { rulebook, faults } = parseRulebook(await readShippedRulebook(), checks)
 * if (rulebook === null) throw new Error(formatFaults(faults))
 * const reading = startReading()
 * const outside = { storage: fileSystem, read: reading.read }
 * const report = await checkPacket('RO 4471.zip', outside, { vocabulary, rulebook, reviewed: '2026-03-15' })
 * await reading.close()
 * process.stdout.write(renderText(report, { width: 80, color: false }))
 * ```
 */

/** Archives: packets under custody, and the log that proves what was done with them. */
export * as archives from './archive/index.ts'
/** Takes a packet's files into an archive, and opens one that an archive keeps. */
export { openCandidates, type StoredPacket, storedPacket, type TakenPacket, takePacket } from './archiving.ts'
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
/** Every check, in one static list, and the groups it is ordered by. */
export { checks } from './checks/index.ts'
/** What changed between two submissions of a packet. */
export { compareSubmissions } from './compare/compare.ts'
export type * from './compare/comparison.ts'
export type { PacketSource, Submission, SubmittedDeclaration } from './compare/submission.ts'
/** Why a check came to its findings, and what would change them. */
export { type Explanation, explainCheck } from './explain/explanation.ts'
export type { FileInfluence } from './explain/file-influence.ts'
export type { TurningPoint } from './explain/turning-points.ts'
export type * from './facts/document.ts'
export type { Drawing, DrawingWish, Drawn } from './facts/drawing.ts'
/** The nearest known name to a misspelt one, for messages. */
export { findNearestName } from './facts/nearest-name.ts'
export type { Box, FilePlace, Page, Place, Problem, Reading, Track, Word } from './facts/reading.ts'
export type * from './facts/seal.ts'
export {
  compileVocabulary,
  parseVocabularyPage,
  type Vocabulary,
  VocabularyError,
  type VocabularyPage,
} from './facts/vocabulary.ts'
/** Weighs a packet by checks and a rulebook: the last step of `checkPacket`, for a packet that is at hand. */
export { judge } from './findings/judge.ts'
export { defaultPictureLimits, type Picture, type PictureLimits, type Pictures } from './findings/pictures.ts'
export type { Finding, Report, ReportEvent, Verdict } from './findings/report.ts'
export { IntakeError, type IntakeErrorCode } from './intake/errors.ts'
export type { Storage } from './intake/storage.ts'
/** What an archive does with a packet: receives it, and checks it as it is kept. */
export { checkKept, findKept, type KeptReview, receiveTaken } from './keeping.ts'
/** Seals of packets that an archive keeps. */
export {
  type KeptSealing,
  type KeptStamping,
  type PacketSeal,
  type SealAnswer,
  type SealedKept,
  sealKept,
  stampKept,
  verifyKept,
  verifySealsOf,
} from './kept-seals.ts'
export type { Clock, Declaration, Packet, PacketEvent, Statement, Timeline } from './packet/packet.ts'
/** Has the pages that findings rest on drawn, for `renderHtml` and `renderPdf`. */
export { type DrawingOutside, drawEvidence } from './pictures.ts'
export { draftDeclaration } from './plan/draft.ts'
export type { DraftKey, DraftPart } from './plan/draft-part.ts'
export { makePlan, type Plan, type PlanStep, type Task } from './plan/plan.ts'
/** Derived copies of packets, without what is taken out. */
export { type Derivation, deriveFiles, type GatheredPacket, gatherSensitive } from './redacting.ts'
export {
  type AuditText,
  describeAct,
  planRepair,
  renderArchiveAudit,
  renderEntries,
  renderFixity,
  renderHolds,
  renderPacket,
  renderPackets,
  type SealVerdict,
  type ShownPacket,
} from './report/archive-text.ts'
export { renderAuditPage } from './report/audit-page.ts'
export { auditNotes, renderAudit } from './report/audit-text.ts'
export { renderComparisonPage } from './report/comparison-page.ts'
export { renderComparison } from './report/comparison-text.ts'
/** A comparison in words, for whoever shows it in a form of their own. */
export { type ComparisonView, viewComparison } from './report/comparison-view.ts'
export { type CoveredPage, renderCoveredPdf } from './report/covered-pdf.ts'
export { renderCsv } from './report/csv.ts'
export { renderDocumentText } from './report/document-text.ts'
export { renderExplanation } from './report/explanation-text.ts'
export { renderHtml } from './report/html.ts'
export { loadFileColumns, renderLoadFile } from './report/load-file.ts'
export { renderPacketFile } from './report/packet-file-text.ts'
export { type PdfOptions, renderPdf } from './report/pdf.ts'
export type { Fonts } from './report/pdf-fonts.ts'
export { renderPlanMarkdown, renderPlanPage } from './report/plan-page.ts'
export { renderPlan } from './report/plan-text.ts'
export { describeRule, type RuleDescription } from './report/rule-data.ts'
export { renderRuleMarkdown, renderRulesMarkdown } from './report/rules-markdown.ts'
export { renderRule, renderRules } from './report/rules-text.ts'
export { describeSeal } from './report/seal-data.ts'
export {
  concludeSeal,
  groupFingerprint,
  renderSeal,
  type SealPartView,
  type SealView,
  viewSeal,
} from './report/seal-text.ts'
export type { SheetOptions } from './report/sheet.ts'
export { renderStatementPdf } from './report/statement-pdf.ts'
export { renderStatement } from './report/statement-text.ts'
export { formatJson, neutralise } from './report/terminal-text.ts'
export { renderText } from './report/text.ts'
/** A report in words: sections, headings and sentences, for whoever shows it in a form of their own. */
export { type ReportView, viewReport } from './report/view.ts'
export {
  checkPacket,
  DeclarationError,
  type Outside,
  packetAt,
  type ReadingOptions,
  type ReviewOptions,
  readDocument,
  readJob,
  readPacket,
  readSubmission,
  reviewIntake,
  reviewPacket,
} from './review.ts'
export { formatFaults, parseRulebook, type RulebookResult } from './rulebook/parse.ts'
export type { Rule, Rulebook, RulebookFault, RulebookIdentity, Severity } from './rulebook/rulebook.ts'
export { parseSettings, type SettingsResult } from './rulebook/settings.ts'
export type { BagSink, FilledBag } from './seal/bag/write.ts'
export { verifyingCommands } from './seal/bag-readme.ts'
/** Identities: whose key signs a seal, how it is kept, and how an authority comes to vouch for it. */
export {
  adoptCertificates,
  type CertificateDescription,
  createIdentity,
  createRequest,
  describeCertificate,
  formatPem,
  holdPassphrase,
  holdSubject,
  type Identity,
  IdentityError,
  type IdentityErrorCode,
  type KeyKind as IdentityKeyKind,
  keyKinds as identityKeyKinds,
  makeSigner,
  openIdentity,
  packPkcs12,
  readCertificates,
  type Subject as IdentitySubject,
  subjectOf,
  wantsPassphrase,
} from './seal/identity/index.ts'
export { type PdfSigning, signPdf } from './seal/pdf/sign-pdf.ts'
export type { Evidence } from './seal/revocation/evidence.ts'
export { readRevocationFiles } from './seal/revocation/files.ts'
export { SealError } from './seal/seal-error.ts'
export { nobody, type Signer, type TrustList } from './seal/signer.ts'
export { acceptStamp } from './seal/stamp/accept.ts'
export { createStampQuery, type StampQuery } from './seal/stamp/exchange.ts'
export { type CourtStatement, drawUpStatement } from './seal/statement.ts'
export { readTrustFiles } from './seal/trust.ts'
/** Receives a packet into a bag and seals it, says what a seal is worth, and carries its proof on. */
export {
  planStamp,
  type ReceivedPacket,
  receivePacket,
  type Verification,
  type VerificationOptions,
  verifyBag,
} from './sealing.ts'
