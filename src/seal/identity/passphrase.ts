/** Which passphrases are refused for a new identity. */
import { IdentityError } from './errors.ts'
import type { Subject } from './subject.ts'

const leastLength = 12
/** Each digit is worth half a letter. */
const leastDigits = 24
/** Of what is left when everything that follows from what stands before it is taken away. */
const leastSurprises = 11

/** Rows of common keyboards, and the orders that everybody knows. */
const orders = [
  'abcdefghijklmnopqrstuvwxyz',
  '01234567890',
  '13579',
  '24680',
  'qwertyuiop',
  'qwertzuiop',
  'azertyuiop',
  'asdfghjkl',
  'zxcvbnm',
  'yxcvbnm',
  '1q2w3e4r5t6y7u8i9o0p',
  '1qaz2wsx3edc4rfv5tgb6yhn',
]

/**
 * Throws IdentityError `passphrase-weak` for a passphrase that anybody would try first: fewer than 12 characters, one
 * character or a short piece again and again, fewer than 24 digits without a letter, runs of the alphabet, the digits or
 * the keyboard, or little more than the names that stand in the certificate.
 *
 * It counts the characters that do not follow from those before them, and asks for eleven. It is no measure of strength:
 * it knows no dictionary and no leaked passwords, so it lets many through that a patient attacker finds. Five or more
 * words drawn by dice are strong; this cannot tell them from a line of a song.
 */
export function holdPassphrase(passphrase: string, subject: Subject): void {
  const length = [...passphrase].length
  if (length < leastLength)
    throw weak(`it has ${length} character${length === 1 ? '' : 's'}, and at least ${leastLength} are asked for`)
  if (length < leastDigits && /^[\p{N}\p{P}\s]+$/u.test(passphrase)) throw weak('it is digits alone')
  const plain = passphrase.toLowerCase()
  const withoutNames = takeAway(plain, namesOf(subject))
  if (countSurprises(plain) < leastSurprises)
    throw weak('it repeats itself, or follows the alphabet, digits or keyboard')
  if (countSurprises(withoutNames) < leastSurprises) throw weak('it is little more than a name in the certificate')
}

const weak = (because: string): IdentityError =>
  new IdentityError(
    'passphrase-weak',
    `the passphrase is too easy to guess: ${because}`,
    'Take five or more words that have nothing to do with each other or with you, and note them where they are safe.',
  )

/** Words of three letters or more; shorter ones are in everything. */
function namesOf({ commonName, organization = '', unit = '', email = '' }: Subject): string[] {
  return [commonName, organization, unit, email]
    .flatMap((name) => [name, name.replaceAll(/\s/g, ''), ...name.split(/[^\p{L}\p{N}]+/u)])
    .map((name) => name.toLowerCase())
    .filter((name) => [...name].length >= 3)
    .sort((one, other) => other.length - one.length)
}

/** Each name leaves one mark, so that what stood on both sides does not become neighbours. */
const takeAway = (text: string, names: readonly string[]): string =>
  names.reduce((rest, name) => rest.replaceAll(name, '\u0000'), text)

function countSurprises(text: string): number {
  const characters = takePeriod([...text])
  let count = 0
  characters.forEach((character, at) => {
    if (!followsPrevious(characters, at) && !isEchoed(characters, at) && character !== '\u0000') count++
  })
  return count
}

/** `abcabcab` → `abc`; what is no repetition stays as it is. */
function takePeriod(characters: readonly string[]): readonly string[] {
  for (let period = 1; period <= characters.length / 2; period++)
    if (characters.every((character, at) => at < period || character === characters[at - period]))
      return characters.slice(0, period)
  return characters
}

/** The same as the character before, or the third or later of a run through a known order, in either direction. */
function followsPrevious(characters: readonly string[], at: number): boolean {
  const here = characters[at] as string
  const [before, one] = [characters[at - 1], characters[at - 2]]
  if (before === here) return true
  if (before === undefined || one === undefined) return false
  return orders.some((order) => order.includes(one + before + here) || order.includes(here + before + one))
}

/** It and the two before it stood in this order earlier: `abc…abc`. */
function isEchoed(characters: readonly string[], at: number): boolean {
  if (at < 3) return false
  const piece = characters.slice(at - 2, at + 1).join('')
  return characters.slice(0, at).join('').includes(piece)
}
