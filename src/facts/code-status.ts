/** Status words beside trouble codes. Common practice, no source: no standard fixes the words that reports print. */
import type { CodeStatus } from './document.ts'

type Sense = 'active' | 'confirmed' | 'pending' | 'stored' | 'permanent'

const senses = new Map<string, Sense>(
  (
    [
      [
        'active',
        'aktiv aktuell vorhanden actif activo activa presente presentes active act actv current curr cur present pres failing failed now ongoing',
      ],
      ['confirmed', 'confirmed conf cnf logged matured confirmado confirmada confirmados confirmadas'],
      ['pending', 'pending pend pnd pdg maturing provisional preliminary pendiente pendientes'],
      [
        'stored',
        'gespeichert sporadisch passiv memorise memorisee memorizado memorizada almacenado almacenada intermittente intermitente intermitentes almacenados almacenadas memorizados memorizadas historico historica historicos historicas esporadico esporadica pasado pasada inactivo inactiva pasivo pasiva historique stored sto history historic historical hist his hst past inactive inact passive previous previously prev prior sporadic intermittent interm int memory saved memorised memorized absent dormant cleared erased deleted',
      ],
      ['permanent', 'permanent perm prm pdtc permanente permanentes'],
    ] as const
  ).flatMap(([sense, words]) => words.split(' ').map((word) => [word, sense] as const)),
)

/** Nouns before which the word names a part or a signal: "current sensor", "active cruise", "past due". */
const notAStatus =
  /^(?:sensors?|circuit|draw|high|low|supply|flow|limit|cruise|safety|suspension|grille|shutter|driving|steering|steer|lane|park|noise|aero|due|position|module|output|input|build|seat|restraint|brake|braking)$/

/**
 * The status that words such as `Current`, `HST`, `confirmed, active`, `no longer present` tell; `unknown` when none does.
 *
 * Give the status as printed, not a whole line: descriptions use some of these words. Of several, what is true now wins:
 * active, then permanent, then "not present" and history, which say that a confirmed code is not there now. A negated
 * word of presence means stored; any other negated word is dropped ("no codes stored" tells no status).
 */
export function statusFromWords(text: string): CodeStatus {
  const told = new Set<Sense>()
  for (const clause of text
    .slice(0, 400)
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .split(/[,;/|+&()[\]]/)) {
    const words = clause.match(/[a-z']+/g) ?? []
    for (const [index, word] of words.entries()) {
      const sense = senses.get(word)
      if (!sense || notAStatus.test(words[index + 1] ?? '') || isPastFailure(words, index)) continue
      // "Failed since codes cleared" tells when, not that the code is gone.
      if (/^(?:cleared|erased|deleted)$/.test(word) && /\b(?:since|after|last)\b/.test(words.slice(0, index).join(' ')))
        continue
      const negation = negationAt(words, index)
      if (negation === 'none') told.add(sense)
      else if (negation === 'not' && sense === 'active') told.add('stored')
      // Spanish says "no presente" where English says "not present".
      else if (negation === 'no' && spanishPresence.test(word)) told.add('stored')
    }
  }
  if (told.has('active')) return 'active'
  if (told.has('permanent')) return 'permanent'
  if (told.has('confirmed') && !told.has('stored')) return 'confirmed'
  if (told.has('pending')) return 'pending'
  return told.has('stored') ? 'stored' : 'unknown'
}

const spanishPresence = /^(?:presentes?|activ[oa]s?)$/

/** "failed since clear" and "failed this cycle" are bits of the status byte that do not say that the test fails now. */
function isPastFailure(words: readonly string[], index: number): boolean {
  return words[index] === 'failed' && /^(?:since|this|last)$/.test(words[index + 1] ?? '')
}

const negators = /^(?:nicht|pas|not|non|never|longer|previously|formerly|was|earlier)$|n't$/

/** `not`: "not present", "no longer currently present", "previously active", "active: no"; `no`: "no codes present". */
function negationAt(words: readonly string[], index: number): 'none' | 'not' | 'no' {
  if (/^(?:no|false)$/.test(words[index + 1] ?? '')) return 'not'
  for (let back = index - 1; back >= Math.max(0, index - 3); back--) {
    const word = words[back] ?? ''
    if (negators.test(word)) return 'not'
    if (word === 'no') return 'no'
    if (senses.has(word) && back < index - 1 && senses.get(word) !== 'active') break
    if (/^(?:and|but|or)$/.test(word)) break
  }
  return 'none'
}
