/** Tells where doubtful characters were settled, so that no reading of a picture is taken silently. */
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

/** A remark on the numbers whose characters were settled, and `by` what; none where there are none. */
export function tellChoices(choices: readonly Choice[], by: string): Problem[] {
  if (choices.length === 0) return []
  const told = choices
    .slice(0, mostTold)
    .map(({ page, read, taken }) => `${taken} (page ${page}, first read as ${read})`)
  const more = choices.length > mostTold ? `, and ${choices.length - mostTold} more` : ''
  const message = `Doubtful characters were settled by ${by}: ${told.join(', ')}${more}. Compare them with the picture.`
  return [{ code: lookAlikesChosen, message }]
}
