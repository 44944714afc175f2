import { PassThrough } from 'node:stream'
import type { ReadStream, WriteStream } from 'node:tty'
import { expect, test } from 'vitest'
import { HiddenLineError, readHiddenLine } from '../../src/io/hidden-line.ts'

/** A terminal in memory: what is typed, what shows, and when it was raw. */
function openConsole() {
  const events: string[] = []
  const input = Object.assign(new PassThrough(), {
    setRawMode(raw: boolean) {
      events.push(raw ? 'raw' : 'cooked')
      return this
    },
  })
  const output = { write: (text: string) => void events.push(text) }
  const ask = (question: string) =>
    readHiddenLine(question, input as unknown as ReadStream, output as unknown as WriteStream)
  return { input, events, ask }
}

test.each([
  ['quillwort\r', 'quillwort'],
  ['quillwort\n', 'quillwort'],
  ['quillxx\u007f\bwort\r', 'quillwort'],
  ['\u007f\u007fq\r', 'q'],
  ['wrong\u0015right\r', 'right'],
  ['a\u001b[Db\u001b[3~c\u001bOHd\r', 'abcd'],
  ['a\tb\u0000c\r', 'abc'],
  ['grü😀\u007fn\r', 'grün'],
  ['gru\u0308n\r', 'grün'],
  ['\r', ''],
])('%j is taken as %j', async (typed, line) => {
  const { input, events, ask } = openConsole()
  const asked = ask('Say: ')
  // Byte by byte, so that characters arrive in pieces; a sequence of one key comes as a whole.
  if (typed.includes('\u001b')) input.write(typed)
  else for (const byte of Buffer.from(typed)) input.write(Buffer.of(byte))
  expect(await asked).toBe(line)
  expect(events).toEqual(['raw', 'Say: ', 'cooked', '\n'])
})

test('what is pasted beyond the line answers the next question', async () => {
  const { input, ask } = openConsole()
  input.write('one\rtwo\rthree\r')
  expect([await ask('1 '), await ask('2 '), await ask('3 ')]).toEqual(['one', 'two', 'three'])
})

test.each(['abc\u0003', 'abc\u0004'])('giving up by %j rejects, and gives the terminal back', async (typed) => {
  const { input, events, ask } = openConsole()
  const asked = ask('Say: ')
  input.write(typed)
  await expect(asked).rejects.toThrow(HiddenLineError)
  expect(events).toEqual(['raw', 'Say: ', 'cooked', '\n'])
})

test('a terminal that goes away rejects', async () => {
  const { input, ask } = openConsole()
  const asked = ask('Say: ')
  input.end()
  await expect(asked).rejects.toThrow(HiddenLineError)
})
