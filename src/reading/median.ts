/** The middle of some numbers in their order, the lower of the two where they are even; 0 of none. */
export function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b)
  return sorted[(sorted.length - 1) >> 1] ?? 0
}
