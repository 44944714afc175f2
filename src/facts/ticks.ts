/** Options of a form, each behind its box: "☒ Static ☐ Dynamic", "[x] left [ ] right". */

const EMPTY = '☐|□|○|\\[ ?\\]|\\( ?\\)'
const TICKED = '☑|☒|■|●|\\[[xX✓✔]\\]|\\([xX✓✔]\\)'
const option = new RegExp(`(${EMPTY}|${TICKED})\\s*((?:(?!${EMPTY}|${TICKED}).)+)`, 'gu')
const isEmpty = new RegExp(`^(?:${EMPTY})$`, 'u')

/** What is ticked (empty where nothing is, or several options are), and whether the text is such a form at all. */
export function readTicks(text: string): { chosen: string; isForm: boolean } {
  const options = [...text.matchAll(option)]
  const ticked = options.filter(([, box]) => !isEmpty.test(box ?? ''))
  const isForm = options.length > 1 && ticked.length < options.length
  return { isForm, chosen: ticked.length === 1 ? (ticked[0]?.[2]?.trim() ?? '') : '' }
}

/** The option that is ticked where the text is a form, nothing where none or several are; any other text as it is. */
export function chosenOf(text: string): string {
  const { chosen, isForm } = readTicks(text)
  return isForm ? chosen : text
}

const startingBox = new RegExp(`^(?:${EMPTY}|${TICKED})(?=\\s*\\p{L})`, 'u')

/** Does a text begin with an option's box? */
export function startsWithBox(text: string): boolean {
  return startingBox.test(text)
}
