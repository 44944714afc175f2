/** A line typed at a terminal that does not show it. */
import { StringDecoder } from 'node:string_decoder'
import type { ReadStream, WriteStream } from 'node:tty'

/** The person gave up (Ctrl-C, Ctrl-D), or the terminal went away. */
export class HiddenLineError extends Error {
  override readonly name = 'HiddenLineError'
}

/** Keys that send several characters (arrows and the like): ECMA-48 control sequences. */
const controlSequence = /\u001b(?:\[[0-?]*[ -/]*[@-~]|O.|.)?/g

const enter = /[\r\n]/
const giveUp = /[\u0003\u0004]/

/**
 * Writes `question`, and resolves to what is typed up to Enter, in Unicode's composed form (NFC), so that keyboards which
 * compose letters differently type the same. Nothing typed is echoed, not even as dots: the terminal is put into raw mode
 * before the question shows, and back before this settles. Backspace takes one character back, Ctrl-U all; other control
 * characters do not count. Rejects with HiddenLineError.
 */
export async function readHiddenLine(question: string, input: ReadStream, output: WriteStream): Promise<string> {
  input.setRawMode(true)
  try {
    output.write(question)
    return (await collectLine(input)).normalize('NFC')
  } finally {
    input.setRawMode(false)
    output.write('\n')
  }
}

function collectLine(input: ReadStream): Promise<string> {
  const decoder = new StringDecoder('utf8')
  let typed: string[] = []
  return new Promise((resolve, reject) => {
    const end = (settle: () => void) => {
      // Paused first: a flowing stream loses what is put back while nobody listens.
      input.pause()
      input.off('data', take).off('end', lose).off('error', lose)
      settle()
    }
    const lose = () => end(() => reject(new HiddenLineError('the terminal was closed')))
    const take = (chunk: Buffer) => {
      const characters = [...decoder.write(chunk).replaceAll(controlSequence, '')]
      for (const [at, character] of characters.entries()) {
        if (giveUp.test(character)) return end(() => reject(new HiddenLineError('given up')))
        if (enter.test(character)) {
          const rest = characters.slice(at + 1).join('')
          return end(() => {
            // What was pasted beyond the line answers the next question.
            if (rest !== '') input.unshift(Buffer.from(rest))
            resolve(typed.join(''))
          })
        }
        typed = edit(typed, character)
      }
    }
    input.on('data', take).on('end', lose).on('error', lose)
    input.resume()
  })
}

function edit(typed: string[], character: string): string[] {
  if (character === '\u007f' || character === '\b') return typed.slice(0, -1)
  if (character === '\u0015') return []
  return /\p{Cc}/u.test(character) ? typed : [...typed, character]
}
