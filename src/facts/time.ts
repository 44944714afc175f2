/** Dates, times of day, durations and instants. */
export * from './clock-text.ts'
export * from './date-text.ts'
export * from './duration.ts'
export * from './instant.ts'
