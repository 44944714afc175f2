/** Text inside Markdown (CommonMark 0.31): whatever could be read as markup is escaped, so that it shows as it is. */
import { neutralise } from './terminal-text.ts'

/**
 * One line of text. Any ASCII punctuation may be escaped by a backslash (2.4); those that open no markup inside a line
 * are left, so that the source stays readable. At the start of a line `+`, `-`, `=`, `~`, `>` and "1." would open a block.
 */
export function escapeMarkdown(text: string): string {
  return neutralise(text)
    .replaceAll(/ +/g, ' ')
    .trim()
    .replaceAll(/[\\`*_[\]<>&|~#$]/g, (character) => `\\${character}`)
    .replace(/^([+=-])/, '\\$1')
    .replace(/^(\d+)([.)])/, '$1\\$2')
}

/** A code span (6.1): fenced by one more backtick than the longest run inside. */
export function codeSpan(text: string): string {
  const plain = neutralise(text)
  const longest = Math.max(0, ...[...plain.matchAll(/`+/g)].map(([run]) => run.length))
  const fence = '`'.repeat(longest + 1)
  const gap = /^`|`$|^ .* $/.test(plain) ? ' ' : ''
  return `${fence}${gap}${plain}${gap}${fence}`
}
