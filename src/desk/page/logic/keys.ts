/** What a key does on the packet page. */

export type KeyAct =
  | 'next-finding'
  | 'previous-finding'
  | 'to-evidence'
  | 'to-findings'
  | 'next-place'
  | 'previous-place'
  | 'zoom-in'
  | 'zoom-out'
  | 'fit'
  | 'help'

/** Each key, what it does, and the words for it, in the order of the list that is shown. */
export const keyTable: readonly { keys: readonly string[]; act: KeyAct; words: string }[] = [
  { keys: ['j', 'ArrowDown'], act: 'next-finding', words: 'next finding (arrows: while the list has the focus)' },
  { keys: ['k', 'ArrowUp'], act: 'previous-finding', words: 'finding before' },
  { keys: ['Enter'], act: 'to-evidence', words: 'from a finding to its evidence' },
  { keys: ['Escape'], act: 'to-findings', words: 'back to the list of findings' },
  { keys: ['n'], act: 'next-place', words: 'next place of the evidence' },
  { keys: ['p'], act: 'previous-place', words: 'place before' },
  { keys: ['+', '='], act: 'zoom-in', words: 'larger' },
  { keys: ['-'], act: 'zoom-out', words: 'smaller' },
  { keys: ['0'], act: 'fit', words: 'the whole width of the page' },
  { keys: ['?'], act: 'help', words: 'this list' },
]

export interface KeyPress {
  key: string
  ctrlKey: boolean
  metaKey: boolean
  altKey: boolean
}

/** Where the focus is when a key is pressed. */
export type Focus = 'field' | 'list' | 'control' | 'elsewhere'

/**
 * Null for a key that does nothing: in a field, with a modifier, or one whose own work a control or a scroller needs.
 * `singleKeys`: whether letters and signs do anything (WCAG 2.2, 2.1.4: they can be switched off).
 */
export function actOf({ key, ctrlKey, metaKey, altKey }: KeyPress, focus: Focus, singleKeys: boolean): KeyAct | null {
  if (ctrlKey || metaKey || altKey) return null
  const act = keyTable.find(({ keys }) => keys.includes(key))?.act ?? null
  if (key === 'Escape') return focus === 'field' ? null : act
  if (focus === 'field' || (key.length === 1 && !singleKeys)) return null
  const isListKey = key === 'ArrowDown' || key === 'ArrowUp' || key === 'Enter'
  return isListKey && focus !== 'list' ? null : act
}
