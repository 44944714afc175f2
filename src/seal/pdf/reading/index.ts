/** The signatures of PDF files that come in with a packet. */
export { anyAlgorithm, type ExaminedSignature, examinePdfSignatures, type PdfExamining } from './examine.ts'
export { addWords } from './word-changes.ts'
