/** The commands and their options. Each command is loaded when it is called. */
import { readFileSync } from "node:fs";
import { Command, CommanderError, InvalidArgumentError, Option } from "commander";
import type { CommonOptions, Console } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";
import { sayError } from "./say-error.ts";

/** @returns the exit code; never throws */
export async function runCommand(args: readonly string[], console: Console): Promise<number> {
  let code: number = exitCodes.go;
  const program = createProgram(console, (result) => {
    code = result;
  });
  try {
    await program.parseAsync([...args], { from: "user" });
    return code;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitCodes.go : exitCodes.badInput;
    const said = sayError(error);
    if (args.includes("--json")) console.out(`${JSON.stringify(said.data, null, 2)}\n`);
    else console.err(`${said.words}\n`);
    return said.exitCode;
  }
}

function createProgram(console: Console, done: (code: number) => void): Command {
  const program = new Command("withy")
    .description(
      "Plans how a slender cable-driven arm enters a machine through a small port, reaches a target with its load, and comes back.",
    )
    .version(readVersion())
    .exitOverride()
    .configureOutput({ writeOut: console.out, writeErr: console.err })
    .showSuggestionAfterError(true)
    .addHelpText(
      "after",
      "\nEnds with 0 go (with or without conditions), 1 bad input, 2 no go, 3 undecided, 70 a fault of withy,\n" +
        "74 the system refused, 130 cancelled. It advises; the engineer of the machine's owner decides.",
    );
  const add = (text: string, says: string): Command => {
    const command = program.command(text).description(says);
    command.addOption(new Option("--units <system>", "units of what is printed").choices(["metric", "inch"]).default("metric"));
    return command.option("--json", "print one JSON document, for machines");
  };

  add("check <job>", "read a job with all its files and say every fault in them").action(async (job: string, options: CommonOptions) => {
    done(await (await import("./check.ts")).check(job, options, console));
  });

  add("plan <job>", "plan the way in and out, and say whether it can be done")
    .option("--no-faults", "leave out what broken cables, stalled drives and lost power do: the plan alone is sooner there")
    .option("--out <folder>", "write plan.json, report.html, runsheet.html, section.svg, drives.csv, drives.json and arm.glb there")
    .option("--turn <count>", "plan this many changes of the arm again, to see what they gain", parseCount, 0)
    .option("--seek", "where it is no go, look for the smallest allowed change that would do, by planning again")
    .option("--routes", "only list the routes there are, with what each leaves to spare; nothing is laid on them")
    .option("--route <number>", "plan by this one of them; the first when left out, and others where the arm cannot follow it", parseRoute)
    .action(async (job: string, options: import("./plan.ts").PlanOptions) => {
      done(await (await import("./plan.ts")).plan(job, options, console));
    });

  add("drives <job>", "what every drive does for a plan of the job: lengths, turns, torques, speeds, and how long it takes")
    .option("--feed-rate <speed>", "speed of the feed, as 3mm/s; the job's when left out")
    .option("--plan <file>", "plan.json of the same files, to be timed anew; planned when left out")
    .option("--out <folder>", "write drives.csv and drives.json there")
    .action(async (job: string, options: import("./drives.ts").DriveOptions) => {
      done(await (await import("./drives.ts")).drives(job, options, console));
    });

  add("rack <job> <folder>", "plan every arm of a folder against a job, on all cores, and say which can")
    .option("--out <folder>", "write rack.json there, and each plan as it comes")
    .option("--resume", "go on with what an ended run left in that folder")
    .option("--cores <count>", "how many cores to use; all when left out", parseCores)
    .action(async (job: string, folder: string, options: import("./rack.ts").RackOptions) => {
      done(await (await import("./rack.ts")).rack(job, folder, options, console));
    });

  add("unsure <job>", "draw what is not surely known, and say how far margins may be off, how likely trouble is, and what matters most")
    .option("--draws <count>", "how many to draw", parseDraws, 200)
    .option("--seed <number>", "the same seed draws the same numbers, on any number of cores", parseSeed, 1)
    .option("--anew", "plan every draw anew, as if its numbers were known, instead of driving the plan's commands")
    .option("--cores <count>", "how many cores to use; all when left out", parseCores)
    .option("--out <folder>", "write unsure.json there")
    .action(async (job: string, options: import("./unsure.ts").UnsureOptions) => {
      done(await (await import("./unsure.ts")).unsure(job, options, console));
    });

  add("solve <arm>", "shape of an arm under its own weight, its tool and a force, for given bends or tensions")
    .option(
      "--bend <section=angle@direction>",
      "bend of a section, as 2=20deg@90deg (direction about the arm's axis, from its x towards its y), or all=...",
      gather,
      [],
    )
    .option("--tension <cable=force>", "tension of a cable, as 4=30N, or all=...; the others stay at their pretension", gather, [])
    .option("--force <x,y,z>", "force on the tip, world, as 0N,0N,-2N")
    .option("--axis <x,y,z>", "direction in which the arm leaves its guide, world", "1,0,0")
    .option("--gravity <x,y,z>", "direction of gravity, world; 0,0,0 for none", "0,0,-1")
    .option("--reach <length>", "length of the arm out of its guide, as 400mm; all of it when left out")
    .option("--temperature <range>", "also: warmed and cooled to these with the drives locked, as 10degC..60degC")
    .option("--outside-temperature <range>", "of the conduits; as the arm and as set up, both, when left out")
    .option("--set-up-temperature <temperature>", "at which it was set up; 20degC when left out")
    .action(async (arm: string, options: CommonOptions & import("./read-solve.ts").SolveArguments) => {
      done(await (await import("./solve.ts")).solve(arm, options, console));
    });

  add("capacity <arm>", "what an arm carries with its drives locked, in every direction, and what ends it")
    .option(
      "--out-length <length>",
      "length of the arm out of its guide, as 400mm; several with commas or repeated; all, 3/4 and 1/2 of it when left out",
      gather,
      [],
    )
    .option("--direction <x,y,z>", "direction of the load, world; repeated for several; six of them when left out", gather, [])
    .option(
      "--offset <x,y,z>",
      "where the load hangs, from the tool point along the tip's own x, y, z, as 0mm,30mm,0mm; repeated for several; ramps take the first",
      gather,
      [],
    )
    .option(
      "--pretension <force>",
      "least tension of every cable, as 8N; several with commas or repeated; the arm's own when left out",
      gather,
      [],
    )
    .option("--sag <length>", "how far the load may move the tool point, as 20mm; any way when left out")
    .option("--bend <section=angle@direction>", "bend held when the drives are locked, as 2=20deg@90deg, or all=...", gather, [])
    .option("--axis <x,y,z>", "direction in which the arm leaves its guide, world", "1,0,0")
    .option("--gravity <x,y,z>", "direction of gravity, world; 0,0,0 for none", "0,0,-1")
    .addOption(
      new Option("--locked <when>", "the drives are locked with the arm's own weight and tool on, or off")
        .choices(["carrying", "unloaded"])
        .default("carrying"),
    )
    .option(
      "--ramp <x,y,z>",
      "force on the tool along its own x, y, z, grown step by step to the first limit at the longest length, as 0,0,-1 for pressing ahead; repeated; pressing and dragging when left out",
      gather,
      [],
    )
    .option(
      "--couple <x,y,z>",
      "couple that grows with those forces, as a lever about the tool's own x, y, z: 0mm,0mm,20mm turns by 20 N mm a newton",
    )
    .option("--rows <number>", "loads that a ramp is told at", parseRows, 5)
    .option("--broken", "also: each cable broken, each drive stalled, and all power lost, at the longest length")
    .option(
      "--sent <section=angle@direction>",
      "bend that the other drives go to when one stalls, as --bend; straight when left out",
      gather,
      [],
    )
    .option(
      "--damping <share>",
      "share of critical damping of the first swing, as 0.02; the arm file's, or 0.05 (0.02 to 0.1), when left out",
      parseShare,
    )
    .action(async (arm: string, options: CommonOptions & import("./read-capacity.ts").CapacityArguments) => {
      done(await (await import("./capacity.ts")).capacity(arm, options, console));
    });

  add("drum <arm>", "an arm wound up on a drum by its own sections, and paid out: bends, joints, strains, tensions")
    .option("--radius <length>", "radius of the core, as 150mm; the arm file's drum when left out, as all of these")
    .addOption(new Option("--lay <lay>", "turns side by side, or each on the one before").choices(["helix", "spiral"]))
    .option("--pitch <length>", "distance of neighbouring turns of a helix, as 17mm")
    .option("--width <length>", "between the flanges, as 120mm")
    .option("--flange <length>", "diameter of the flanges, as 420mm")
    .option("--cover <length>", "free space between the coil and a cover that keeps it on the core, as 3mm")
    .addOption(
      new Option(
        "--bent-by <what>",
        "what bends it round the core: its own sections, or core and cover, the cables kept at their pretension",
      ).choices(["sections", "drum"]),
    )
    .option("--start <angle>", "where the base lies about the drum's axis, as 90deg")
    .option("--roll <angle>", "direction of the bend about the arm's axis at its base, as 45deg; the easiest when left out")
    .option("--friction <ratio>", "of the arm on the core, as 0.2 or 0.1..0.3")
    .option("--pull <force>", "pull on the arm at the drum's mouth while it is wound up, as 20N")
    .option("--insert <diameter,length>", "a stiff piece that stays in the channel, as 4mm,60mm")
    .option("--every <count>", "spans from one row to the next, even; half a section when left out", parseCount)
    .action(async (arm: string, options: CommonOptions & import("./read-drum.ts").DrumArguments) => {
      done(await (await import("./drum.ts")).drum(arm, options, console));
    });

  add("fit <arm> <tables...>", "find an arm's stiffness, cable stretch and effective length from tables of measurements (docs/fit.md)")
    .option("--out <folder>", "write the fitted arm file (comments kept) and fit.html with every residual there")
    .option("--axis <x,y,z>", "direction in which the arm left its guide when it was measured, world", "1,0,0")
    .option("--gravity <x,y,z>", "direction of gravity, world", "0,0,-1")
    .action(async (arm: string, tables: string[], options: import("./fit.ts").FitOptions) => {
      done(await (await import("./fit.ts")).fit(arm, tables, options, console));
    });

  add("serve <job>", "plan a job, then show it in the browser")
    .option("--port <number>", "port to listen on", parsePort)
    .option("--host <address>", "address to listen on; other machines can see the job when it is not loopback", "127.0.0.1")
    .option("--once", "fetch the page once and end")
    .option("--unplanned", "do not plan first")
    .option("--rack <folder>", "arms of a folder, to be held against the job in the page")
    .action(async (job: string, options: CommonOptions & import("./serve.ts").ServeOptions) => {
      done(await (await import("./serve.ts")).serve(job, options, console));
    });

  program
    .command("schema")
    .description("print the JSON Schema of a job file or an arm file, for editors")
    .argument("[kind]", "job or arm", parseKind, "job")
    .action(async (kind: "job" | "arm") => done(await (await import("./schema.ts")).schema(kind, console)));
  return program;
}

function gather(value: string, before: string[]): string[] {
  return [...before, value];
}

function parsePort(text: string): number {
  const port = Number(text);
  if (!/^\d+$/.test(text) || port > 65535) throw new InvalidArgumentError("Give a whole number from 0 (any free port) to 65535.");
  return port;
}

function parseRows(text: string): number {
  const rows = Number(text);
  if (!/^\d+$/.test(text) || rows < 1 || rows > 200) throw new InvalidArgumentError("Give a whole number from 1 to 200.");
  return rows;
}

function parseKind(text: string): "job" | "arm" {
  if (text !== "job" && text !== "arm") throw new InvalidArgumentError("Give job or arm.");
  return text;
}

function readVersion(): string {
  // beside the sources, and one folder further up from the built code
  for (const place of ["../../package.json", "../../../package.json"]) {
    try {
      return (JSON.parse(readFileSync(new URL(place, import.meta.url), "utf8")) as { version: string }).version;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "ENOENT") throw error;
    }
  }
  return "unknown";
}

function parseShare(text: string): number {
  const share = Number(text);
  if (text.trim() === "" || !(share >= 0 && share <= 1)) throw new InvalidArgumentError("Give a number from 0 to 1.");
  return share;
}

function parseDraws(text: string): number {
  const draws = Number(text);
  if (!/^\d+$/.test(text) || draws < 1 || draws > 100_000) throw new InvalidArgumentError("Give a whole number from 1 to 100000.");
  return draws;
}

function parseSeed(text: string): number {
  const seed = Number(text);
  if (!/^\d+$/.test(text) || seed > 4294967295) throw new InvalidArgumentError("Give a whole number from 0 to 4294967295.");
  return seed;
}

function parseRoute(text: string): number {
  if (!/^[1-9]$/.test(text)) throw new InvalidArgumentError("Give a whole number from 1 to 9.");
  return Number(text);
}

function parseCores(text: string): number {
  const cores = Number(text);
  if (!/^\d+$/.test(text) || cores < 1 || cores > 256) throw new InvalidArgumentError("Give a whole number from 1 to 256.");
  return cores;
}

function parseCount(text: string): number {
  if (!/^\d{1,2}$/.test(text)) throw new InvalidArgumentError("Give a whole number from 0 to 99.");
  return Number(text);
}
