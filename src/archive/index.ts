/** Archives: packets under custody, and the log that proves what was done with them. */
export {
  type Actor,
  type Archive,
  type ArchiveOutside,
  act,
  closeArchive,
  findEntries,
  findEntry,
  history,
  initArchive,
  migrate,
  openArchive,
  putObject,
  readObject,
} from './archive.ts'
export { ArchiveError, type ArchiveErrorCode } from './archive-error.ts'
export { type Audit, type AuditGroup, auditGroups, auditPackets, type GroupFigures } from './audit/audit.ts'
export { type BackupResult, backUp, restoreFrom } from './backup.ts'
export { agreeToDisposal, nameCustodian, type Proposal, proposeDisposal } from './disposal.ts'
export { type Entry, formatEntry, type LoggedEntry, type Person, parseEntry, type Scope } from './entry.ts'
export {
  type ExportResult,
  type ExportSource,
  type HandedFile,
  noteFailedExport,
  type OutgoingFile,
  type OutgoingPacket,
  writeExport,
} from './export/export.ts'
export { type ExportPacket, findForExport, packetsOfHold } from './export/packets.ts'
export { exportCommands, packetCommand } from './export/readme.ts'
export { digestOf, redactReport } from './export/redact-report.ts'
export { makeRedactor, type Redaction, type Redactor, redactions, type Sensitive } from './export/redactor.ts'
export { findingKey } from './finding-key.ts'
export { checkFixity, type FixityResult } from './fixity.ts'
export { type HoldInForce, listHolds, noSuch, type PlacedHold, placeHold, releaseHold } from './holds.ts'
export { auditLog, type LogAudit } from './log/audit.ts'
export { type Checkpoint, parseCheckpoint } from './log/checkpoint.ts'
export {
  addCosignature,
  checkpointPath,
  entryBytes,
  type Head,
  LogError,
  openLog,
  proveContinuation,
  proveEntry,
  readHead,
  rootAt,
} from './log/log.ts'
export { verifyConsistency } from './log/merkle.ts'
export {
  formatKey,
  formatNote,
  makeSigner as makeNoteSigner,
  NoteError,
  type NoteKey,
  type NoteSigner,
  parseKey,
  parseNote,
  signText,
  verifyNote,
} from './log/note.ts'
export { formatProof, parseProof, verifyProof } from './log/proof-text.ts'
export { type Candidate, mend, sweep } from './mend.ts'
export { type Receipt, type ReceivedPacket, receiveKept } from './receive.ts'
export {
  entriesAbout,
  filesOf,
  type PacketRow,
  type Search,
  type SubmissionRow,
  searchPackets,
  submissionsOf,
} from './register/search.ts'
export type { Register } from './register/tables.ts'
export { type KeptSeal, listSeals } from './seals.ts'
export { type AskedArchive, askArchive, keepPrints } from './seen/ask.ts'
export type { ArchiveStorage } from './storage.ts'
export { type ArchiveAudit, auditArchive, isWhole, type MakeRegister } from './verify.ts'
export { cosign, createWitness, listWitnesses, openWitness } from './witness.ts'
