/** Names of people compared as readers would: "Tresk, Marlo" is Marlo Tresk, and "M. Tresk" may be. */

/**
 * Do two names mean one person? `unclear` where one says too little to tell: an initial, or a family name alone. Case,
 * accents, dots and the order of given and family name do not count.
 */
export function comparePersons(a: string, b: string): 'same' | 'different' | 'unclear' {
  const [one, other] = [partsOf(a), partsOf(b)]
  if (one.length === 0 || other.length === 0) return 'unclear'
  if (one.toSorted().join(' ') === other.toSorted().join(' ')) return 'same'
  const [fewer, more] = one.length <= other.length ? [one, other] : [other, one]
  // Every part of the shorter name finds a part of the other that it may stand for: nothing sets them apart.
  const rest = [...more]
  const fits = fewer.every((part) => {
    const at = rest.findIndex((candidate) => mayStandFor(part, candidate))
    if (at >= 0) rest.splice(at, 1)
    return at >= 0
  })
  return fits || spellsInitials(fewer, more) ? 'unclear' : 'different'
}

function partsOf(name: string): string[] {
  const plain = name.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().replace(/['’]/g, '')
  return plain.split(/[^\p{L}]+/u).filter((part) => part !== '' && !/^(?:mr|mrs|ms|dr)$/.test(part))
}

function mayStandFor(a: string, b: string): boolean {
  return a === b || (a.length === 1 && b.startsWith(a)) || (b.length === 1 && a.startsWith(b))
}

/** "MT" for Marlo Tresk. */
function spellsInitials(fewer: readonly string[], more: readonly string[]): boolean {
  return fewer.length === 1 && fewer[0] === more.map((part) => part[0]).join('')
}
