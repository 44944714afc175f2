import type { ComponentProps } from 'react'

/** Something with bars to scroll by, named, and reached by the keyboard (WCAG 2.2, 2.1.1). */
export function Scroller({ label, ...rest }: Omit<ComponentProps<'div'>, 'role' | 'tabIndex'> & { label: string }) {
  // biome-ignore lint/a11y/useSemanticElements: a fieldset is for fields, and a landmark for each page would be too many.
  // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must take the focus.
  return <div role="group" aria-label={label} tabIndex={0} {...rest} />
}
