/** Signatures inside PDF files: what an examination of their bytes found. The seal room makes them; checks and reports read them. */
import type { Box } from './reading.ts'
import type { SealCertificate, SealStamp } from './seal.ts'

/**
 * Something that a later part of the file added or replaced after a signature.
 * `page`: a page is drawn otherwise; `pages`: pages were added, taken out or moved; `form-value`: what is filled in;
 * `annotation`: a note, stamp or mark; `signature`: a later signature; `validation`: certificates, revocation answers
 * and time stamps for later verification; `information`: title, dates and the like; `active`: scripts or attached files;
 * `other`: none of these.
 */
export const pdfChangeKinds = [
  'page',
  'pages',
  'form-value',
  'annotation',
  'signature',
  'validation',
  'information',
  'active',
  'other',
] as const
export type PdfChangeKind = (typeof pdfChangeKinds)[number]

export interface PdfChange {
  kind: PdfChangeKind
  /**
   * `harmless`: nobody who reads the file sees it. `permitted`: seen, and of a kind that signing allows for. `unclear`: it
   * may be seen. `seen`: what a reader sees is no longer what was signed.
   */
  effect: 'harmless' | 'permitted' | 'unclear' | 'seen'
  /** Page that it is on, from 1; null where it is on none, or on all. */
  page: number | null
  /** What it is, without a full stop: "page 2 is drawn otherwise". */
  text: string
  /** What was there when it was signed, and what is there now; null where there is nothing to show. */
  before: string | null
  after: string | null
  /** Where on the page, in points from the top left; absent where it is on none, null where nothing shows it. */
  places?: { before: Box | null; after: Box | null }
}

export interface PdfSignature {
  /** Full name of the form's field; null for one that no field holds. */
  field: string | null
  /** `certification`: the author's, with a rule for later changes (DocMDP). `time-stamp`: over the document itself. */
  kind: 'approval' | 'certification' | 'time-stamp'
  /** As the file names it (SubFilter): `adbe.pkcs7.detached`; null where it names none. */
  format: string | null
  /** Does the signature itself hold over what it covers? */
  state: 'holds' | 'broken' | 'doubtful'
  /** Kebab-case. */
  code: string
  /** A sentence without a full stop. */
  text: string
  signer: SealCertificate | null
  /** Is the signer somebody whom the reviewer trusts? Null where the signature does not lead to a signer. */
  trust: { state: 'holds' | 'broken' | 'doubtful' | 'unexamined'; code: string; text: string } | null
  /** Was the certificate revoked? Null where the signature does not lead to a signer. */
  revocation: { state: 'holds' | 'broken' | 'doubtful'; code: string; text: string } | null
  /** By the signer's own clock; RFC 3339 where the file gives a zone, else a local date-time. */
  claimedTime: string | null
  /** A time stamp over it, or what it is itself. */
  stamp: SealStamp | null
  /** What the author allows later (certification): nothing, filling in and signing, or comments too. */
  permits: 'nothing' | 'filling-in' | 'comments' | null
  /** `revision`: the file as it was when more was added. */
  covers: 'whole' | 'revision' | 'unknown'
  /** Of the file, from its first; null where that cannot be told. */
  coveredBytes: number | null
  /** What came after; empty where it covers the whole. */
  changes: PdfChange[]
}
