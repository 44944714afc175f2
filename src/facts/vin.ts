/** Vehicle identification numbers: the number itself, and finding it in text. */
export * from './vin-number.ts'
export * from './vin-text.ts'
