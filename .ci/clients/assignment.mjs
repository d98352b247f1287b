// Works the handout of notebooks/assignment-trim.ipynb in JupyterLab the way students do, with each kind of mistake and with the right answers, and
// reads what is told at once: the mistake by its kind, never the value.
//
//   node assignment.mjs --notebook HANDOUT --kernel NAME --shots DIR      (what session.mjs needs)
import path from 'node:path'
import { parseArgs } from 'node:util'
import { cells, check, command, idle, inLab, runAll } from './session.mjs'

const { values: arg } = parseArgs({ options: { notebook: { type: 'string' }, kernel: { type: 'string', default: 'foreplane' }, shots: { type: 'string', default: '.' } } })

// What a student writes into the cell of a question, and what is told of it. A picture is taken of those with a name.
const attempts = [
  ['density', 'nothing yet', '', 'No answer yet'],
  ['density', 'wrong dimension', '75262 * Pascal', 'The dimension is another', 'dimension'],
  ['density', 'sea level', '1.225 * KilogramPerCubicMetre', 'density at sea level'],
  ['density', 'no unit', '0.9629', 'The unit is missing'],
  ['density', 'close', '0.98 * KilogramPerCubicMetre', 'Close, but not within 0.5 %', 'close'],
  ['density', 'right', 'must(atmos.Standard(height)).Density', 'Right, within 0.5 %', 'right'],
  ['speed', 'knots for m/s', '118.43 * MetrePerSecond', 'the number in kt, given as m/s', 'knots'],
  ['speed', 'the other way round', '60.93 * Knot', 'the number in m/s, given as kt'],
  ['speed', 'CAS for TAS', '105 * Knot', 'equivalent airspeed, which is near to what the indicator shows (CAS)', 'cas'],
  ['speed', 'nonsense', '"fast"', 'cannot be read'],
  ['speed', 'in words', '"118.4 kt"', 'Right, within 0.5 %'],
  ['stall', 'mass for weight in a formula', 'math.Sqrt(2 * 700 / (1.225 * 9.45 * 1.10)) * MetrePerSecond', 'The mass stands where the weight belongs'],
  ['stall', 'without the half', 'math.Sqrt(700 * 9.80665 / (1.225 * 9.45 * 1.10)) * MetrePerSecond', 'The root of 2 is missing'],
  ['stall', 'right', '63.8 * Knot', 'Right, within 1 %'],
  ['lift', 'factor 2', '0.203', 'look for a factor 2', 'factor'],
  ['lift', 'twice', '0.813', 'look for a factor 2'],
  ['lift', 'right', '0.4065', 'Right, within 1 %'],
  ['share', 'of the wing', '0.777', 'part of the wing'],
  ['share', 'per cent', '22.3', '25 * Percent for 25 %'],
  ['share', 'right', '22.3 * Percent', 'Right, within 1 %'],
  ['margin', 'sign', '-0.1376', 'the sign is not', 'sign'],
  ['margin', 'in metres', '(xNP - xCG)', 'without unit is asked for'],
  ['margin', 'far off', '0.9', 'none of the usual slips'],
  ['margin', 'right', '(xNP - xCG) / chord', 'Right, within 1 %'],
  ['angle', 'degrees for radians', '2.313 * Radian', 'degrees stands where radians belong', 'degrees'],
  ['angle', 'degrees without unit', '2.313', 'degrees stands where radians belong'],
  ['angle', 'right', '2.313 * Degree', 'Right, within 1 %'],
  ['weight', 'mass for weight', '543.8 * Kilogram', 'This is the mass; the weight is asked for', 'mass'],
  ['weight', 'mass as a force', '543.8 * Newton', 'a mass stands where a weight belongs'],
  ['weight', 'right', '5333 * Newton', 'Right, within 1 %']
]
// What the feedback must not contain: the expected values, unless the student wrote them.
const secrets = ['0.963', '0.9629', '60.9', '118.4', '32.8', '63.8', '0.406', '0.223', '0.1376', '0.0404', '2.31', '5333']

// answer writes into the cell of a question and runs it; it returns what is told.
async function answer (page, id, text) {
  await page.evaluate(([id, text]) => {
    const nb = window.jupyterapp.shell.currentWidget.content
    nb.activeCellIndex = nb.widgets.findIndex(w => w.model.id === id)
    const shared = nb.activeCell.model.sharedModel
    shared.setSource(shared.getSource().split('\n').slice(0, 2).join('\n') + '\n\n' + text)
  }, [id, text])
  await command(page, 'notebook:run-cell')
  await idle(page)
  await page.waitForTimeout(150)
  return (await cells(page)).find(c => c.id === id).outputs
}

async function work (page) {
  const code = await runAll(page, 'the handout as it is')
  check('nothing of the solutions is left', !code.some(c => /pitfall|derive/.test(c.source)))
  for (const [id, mistake, text, want, picture] of attempts) {
    const outputs = await answer(page, id, text)
    const told = outputs.map(o => o.error ?? String(o.text)).join(' ')
    const feedback = told.slice(told.indexOf('\n'))
    const away = secrets.filter(s => feedback.includes(s))
    check(`${id}, ${mistake}`, told.includes(want) && away.length === 0, JSON.stringify(told) + (away.length ? ` gives ${away} away` : ''))
    if (picture) {
      await page.evaluate(() => window.jupyterapp.shell.currentWidget.content.activeCell.node.scrollIntoView({ block: 'center' }))
      await page.waitForTimeout(200)
      await page.screenshot({ path: path.join(arg.shots, `assignment-${picture}.png`) })
    }
  }
}

await inLab(arg, 'assignment', work)
