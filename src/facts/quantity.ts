/** Numbers, quantities with their units, money and limits. */
export * from './limits-text.ts'
export * from './money-text.ts'
export { findNumbers, type NumberFound, type NumberStyle, readNumber } from './number-text.ts'
export * from './quantity-text.ts'
