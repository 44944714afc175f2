import type { Finding } from '../../../index.ts'
import type { Counts } from '../../contract.ts'

type Word = Finding['verdict'] | null

const words: Record<Finding['verdict'], string> = {
  fail: 'FAIL',
  warn: 'WARN',
  pass: 'PASS',
  'not-checked': 'NOT CHECKED',
}
const signs: Record<Finding['verdict'], string> = { fail: '✕', warn: '▲', pass: '✓', 'not-checked': '–' }

/** A verdict as a sign and a word; the colour only repeats it. Null: a packet that was not checked yet. */
export function Verdict({ verdict, large = false }: { verdict: Word; large?: boolean }) {
  const name = verdict ?? 'not-checked'
  return (
    <span className={`verdict ${name}${large ? ' stamp' : ''}`}>
      <span aria-hidden="true">{signs[name]} </span>
      {verdict === null ? 'NOT YET' : words[name]}
    </span>
  )
}

const parts = [
  ['fail', 'fail', 'fail'],
  ['warn', 'warn', 'warn'],
  ['pass', 'pass', 'pass'],
  ['notChecked', 'not-checked', 'not checked'],
] as const

/** How many findings of each kind; `short` tells of those alone that something follows from. */
export function CountsLine({ counts, short = false }: { counts: Counts; short?: boolean }) {
  return (
    <ul className="counts">
      {parts
        .filter(([key, name]) => !short || ((name === 'fail' || name === 'warn') && counts[key] > 0))
        .map(([key, name, label]) => (
          <li key={key} className={counts[key] === 0 ? 'none' : name}>
            <span aria-hidden="true">{signs[name]} </span>
            {counts[key]} {label}
          </li>
        ))}
    </ul>
  )
}
