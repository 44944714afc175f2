import fc from 'fast-check'
import { expect, test } from 'vitest'
import { comparePersons } from '../../src/facts/person-name.ts'

test.each([
  ['Marlo Tresk', 'MARLO TRESK', 'same'],
  ['Marlo Tresk', 'Tresk, Marlo', 'same'],
  ['Zoë Brandt', 'Zoe Brandt', 'same'],
  ['M. Tresk', 'Marlo Tresk', 'unclear'],
  ['Tresk', 'Marlo Tresk', 'unclear'],
  ['MT', 'Marlo Tresk', 'unclear'],
  ['Marlo J. Tresk', 'Marlo Tresk', 'unclear'],
  ['', 'Marlo Tresk', 'unclear'],
  ['Marlo Tresk', 'Ines Quillard', 'different'],
  ['Marlo Tresk', 'Ines Tresk', 'different'],
  ['M. Tresk', 'Ines Tresk', 'different'],
  ['Quillard', 'Marlo Tresk', 'different'],
])('%s and %s: %s', (a, b, answer) => {
  expect(comparePersons(a, b)).toBe(answer)
  expect(comparePersons(b, a)).toBe(answer)
})

test('whatever stands in a name, it is not another than itself, and the order of two does not count', () => {
  fc.assert(
    fc.property(fc.string(), fc.string(), (a, b) => {
      expect(comparePersons(a, a)).not.toBe('different')
      expect(comparePersons(a, b)).toBe(comparePersons(b, a))
    }),
  )
})
