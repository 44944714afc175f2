/** One picture under two names: a photo that stands for two things shows at most one of them. */
import type { DocumentFacts } from '../../facts/document.ts'
import { compareLikenesses } from '../../facts/look.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'

export const photosDistinct: Check = {
  id: 'photos-distinct',
  group: 'documents',
  claim: 'No two photos of the packet are the same picture.',
  messages: {
    distinct: { state: 'met', text: '{photos} photos show different pictures.' },
    'same-file': { state: 'unmet', text: '{files} are one and the same file under different names.' },
    'same-picture': {
      state: 'unmet',
      text: '{files} are the same picture, saved in different sizes or qualities: they differ by {levels} of 256 levels of grey.',
    },
    'some-not-compared': {
      state: 'undecided',
      text: '{files} could not be compared with the other photos: too little is to be seen in them, or their format is not decoded.',
    },
    'nothing-to-compare': { state: 'undecided', text: 'The packet does not hold two photos.' },
  },
  parameters: {
    mostLevels:
      'By how many of 256 levels of grey two pictures may differ where both are the same, saved again at another size or quality.',
  },
  remedy: 'The photo that was meant, or word that one of the two was saved twice.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: { calibrator: 'a set-up without a photo of its own' },
  collect: [],
  run({ documents }, parameters) {
    const photos = documents.filter(({ kind, sha256 }) => kind === 'photo' && sha256 !== '')
    if (photos.length < 2)
      return [{ state: 'undecided', message: 'nothing-to-compare', data: {}, evidence: photos.map(placeOf) }]
    const groups = groupSame(photos, numberParameter(parameters, 'mostLevels'))
    const same = groups.filter(({ length }) => length > 1)
    // A photo by which another was known as its copy has been compared, whatever it shows.
    const closed = groups.flatMap((group) => (group.length === 1 ? group : [])).filter(({ photo }) => !photo?.likeness)
    if (same.length > 0) return same.map(describeSame)
    if (closed.length > 0) {
      const files = closed.map(({ file }) => file)
      return [{ state: 'undecided', message: 'some-not-compared', data: { files }, evidence: closed.map(placeOf) }]
    }
    return [{ state: 'met', message: 'distinct', data: { photos: photos.length }, evidence: photos.map(placeOf) }]
  },
}

const placeOf = ({ file }: DocumentFacts) => ({ file, text: '' })

function groupSame(photos: readonly DocumentFacts[], mostLevels: number): DocumentFacts[][] {
  const groups: DocumentFacts[][] = []
  for (const photo of photos) {
    const group = groups.find((members) => members.some((member) => measureDifference(member, photo) <= mostLevels))
    if (group) group.push(photo)
    else groups.push([photo])
  }
  return groups
}

/** In levels of 256; infinite where nobody can tell. */
function measureDifference(one: DocumentFacts, other: DocumentFacts): number {
  if (one.sha256 === other.sha256) return 0
  const [a, b] = [one.photo?.likeness, other.photo?.likeness]
  return a === undefined || b === undefined ? Number.POSITIVE_INFINITY : compareLikenesses(a, b)
}

function describeSame(group: readonly DocumentFacts[]): Outcome {
  const [first, ...rest] = group as [DocumentFacts, ...DocumentFacts[]]
  const files = group.map(({ file }) => file)
  const evidence = group.map(placeOf)
  if (rest.every(({ sha256 }) => sha256 === first.sha256))
    return { state: 'unmet', message: 'same-file', data: { files }, evidence }
  const levels = Math.max(...rest.map((other) => measureDifference(first, other)))
  return { state: 'unmet', message: 'same-picture', data: { files, levels: Math.round(levels * 10) / 10 }, evidence }
}
