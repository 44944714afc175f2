/** Tells where characters that look alike were chosen among, so that no reading of a picture is settled silently. */
import type { Problem } from './reading.ts'

/** A number as it was first read, and as it was taken. */
export interface Choice {
  page: number
  read: string
  taken: string
}

/** The code of the problem; a remark, since it keeps nothing from being read. */
export const lookAlikesChosen = 'look-alikes-chosen'
/** More than that make no message that anybody reads. */
const mostTold = 8

/** A remark on the numbers whose characters were chosen, and `by` what; none where there are none. */
export function tellChoices(choices: readonly Choice[], by: string): Problem[] {
  if (choices.length === 0) return []
  const told = choices
    .slice(0, mostTold)
    .map(({ page, read, taken }) => `${taken} (page ${page}, first read as ${read})`)
  const more = choices.length > mostTold ? `, and ${choices.length - mostTold} more` : ''
  const message = `Characters that look alike were chosen by ${by}: ${told.join(', ')}${more}. Compare them with the picture.`
  return [{ code: lookAlikesChosen, message }]
}
