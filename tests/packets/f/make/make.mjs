/** The packets of set f: papers in one language each (German, British, French, Spanish, American, Canadian), in manners that no other set has. */
import { readdirSync } from 'node:fs'

for (const file of readdirSync(new URL('.', import.meta.url)).filter((name) => /^p\d\d\.mjs$/.test(name)).sort())
  await import(`./${file}`)
