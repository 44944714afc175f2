/** Trouble codes: their bytes and meanings, finding them in text, and the status words beside them. */
export * from './code-status.ts'
export * from './trouble-code-bytes.ts'
export * from './trouble-code-text.ts'
