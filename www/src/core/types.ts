// The core's boundary types, generated from their Rust declarations by `cargo xtask types`; do not edit.
// Takes nothing; gives the shape of everything that crosses the border between page and core.

/**
 * Which model answered.
 */
export type AnsweredBy = "band_table" | "film";

/**
 * What an edit did.
 */
export type Applied = { 
/**
 * Records to write or delete.
 */
changed: Array<Kept>, 
/**
 * All that is not a record, JSON, where it changed.
 */
head: string | null, 
/**
 * The studio's choices, where the head changed.
 */
settings: Settings | null, 
/**
 * The edit that takes it back, JSON.
 */
inverse: string, };

/**
 * Three quantiles of an 80 % band.
 */
export type Band80 = { p10: number, p50: number, p90: number, };

/**
 * Three quantiles of a 90 % band.
 */
export type Band90 = { p05: number, p50: number, p95: number, };

/**
 * A clay body after bisque.
 */
export type Body = { 
/**
 * Identifier.
 */
id: string, 
/**
 * Name.
 */
name: string, 
/**
 * Water taken up, as a share of the dry mass, 0–0.4.
 */
absorption: number, 
/**
 * Usual wall thickness, mm.
 */
wall_mm: number, 
/**
 * Bulk density, kg/m³.
 */
density_kg_per_m3: number, 
/**
 * See [`Glaze::changed_ms`](super::Glaze::changed_ms).
 */
changed_ms: number, };

/**
 * One cell.
 */
export type ChartCell = { 
/**
 * Coats, dips or passes of the layer before the last; 0 where there is none.
 */
under: number, 
/**
 * Of the last layer.
 */
over: number, 
/**
 * Chance that it stays above the foot.
 */
p_holds: number, 
/**
 * Chance that it does not.
 */
p_reaches_foot: number, 
/**
 * Verdict at the studio's lines.
 */
verdict: Verdict, 
/**
 * Chance that more than half of the relief is kept; null without texture.
 */
p_relief_over_half: number | null, 
/**
 * Chance that the last layer looks right; null where its look was never logged.
 */
p_look_right: number | null, 
/**
 * Median run, mm.
 */
run_p50_mm: number, };

/**
 * One column of a table.
 */
export type Column = { 
/**
 * Its header.
 */
header: string, 
/**
 * The column it is taken for; none: it is left out.
 */
taken_for: string | null, };

/**
 * One record of which the two had different copies.
 */
export type Conflict = { 
/**
 * Its list; none: name or settings of the studio, which stay as they are here.
 */
list: List | null, 
/**
 * Its identifier.
 */
id: string, 
/**
 * What differed.
 */
kind: ConflictKind, 
/**
 * Whether the other's copy was taken.
 */
theirs_taken: boolean, 
/**
 * The copy here, as text; none: not there.
 */
ours: string | null, 
/**
 * The other's, as text; none: not there.
 */
theirs: string | null, };

/**
 * What differed.
 */
export type ConflictKind = "changed" | "removed_but_used" | "code_twice" | "head";

/**
 * The edge a run is read at.
 */
export type Edge = "onto_bare_clay" | "onto_glaze" | "to_the_foot";

/**
 * A piece or tile: a plan while it has no outcome, a log entry once it has.
 */
export type Entry = { 
/**
 * Identifier.
 */
id: string, 
/**
 * Short code to pencil on the back, unique in the studio.
 */
code: string, 
/**
 * What it is called, if anything.
 */
name: string, 
/**
 * The form it is.
 */
form: string, 
/**
 * Another diameter than the form's largest, mm: the form is scaled around its axis.
 */
diameter_mm?: number, 
/**
 * Another slope than the form's (tiles), degrees from horizontal.
 */
slope_deg?: number, 
/**
 * Bare wall below the lowest glaze line, mm along the wall; none: what the form leaves.
 */
bare_below_mm?: number, 
/**
 * Clay body; none: the studio's usual one.
 */
body?: string, 
/**
 * Whose hand put the glaze on; none: anyone's.
 */
hand?: string, 
/**
 * The firing; none: the studio's usual one, or the reference firing.
 */
firing?: string, 
/**
 * Shelf, counted from the bottom, 1–20.
 */
shelf?: number, 
/**
 * Layers in the order in which they went on, the wall first.
 */
layers: Array<Layer>, 
/**
 * What came out of the kiln; none: a plan.
 */
outcome?: Outcome, 
/**
 * Photograph.
 */
photo?: string, 
/**
 * Anything else.
 */
note: string, 
/**
 * The studio looked at this entry again after it was pointed out, and keeps it as it is.
 */
kept: boolean, 
/**
 * See [`Glaze::changed_ms`](super::Glaze::changed_ms).
 */
changed_ms: number, };

/**
 * A firing, planned or done.
 */
export type Firing = { 
/**
 * Identifier.
 */
id: string, 
/**
 * Name, e.g. "Week 6".
 */
name: string, 
/**
 * Day of firing, or the day it is planned for.
 */
day?: string, 
/**
 * Which kiln.
 */
kiln: string, 
/**
 * Where it stands.
 */
state: FiringState, 
/**
 * What the kiln was told; none: unknown, effective time 3000 s at the peak.
 */
schedule?: Schedule, 
/**
 * Anything else.
 */
note: string, 
/**
 * See [`Glaze::changed_ms`](super::Glaze::changed_ms).
 */
changed_ms: number, };

/**
 * Where a firing stands.
 */
export type FiringState = "planned" | "fired" | "opened";

/**
 * The shape of a pot or a tile.
 */
export type Form = { 
/**
 * Identifier.
 */
id: string, 
/**
 * Name.
 */
name: string, 
/**
 * Its outline.
 */
shape: Shape, 
/**
 * Wall thickness, mm; none: the body's.
 */
wall_mm?: number, 
/**
 * Radius of the rim's rounding, mm, at least 0.5; none: half the wall.
 */
rim_radius_mm?: number, 
/**
 * Texture of the wall.
 */
texture?: Texture, 
/**
 * See [`Glaze::changed_ms`](super::Glaze::changed_ms).
 */
changed_ms: number, };

/**
 * A fresh identifier, and a fresh code to pencil on the back.
 */
export type Fresh = { 
/**
 * Unique in its list.
 */
id: string, 
/**
 * Unique among the entries.
 */
code: string, };

/**
 * A glaze.
 */
export type Glaze = { 
/**
 * Identifier.
 */
id: string, 
/**
 * Name.
 */
name: string, 
/**
 * The look in a word or two, e.g. "glossy amber".
 */
look: string, 
/**
 * Colour for drawings, `#rrggbb`.
 */
colour?: string, 
/**
 * The studio's opinion of how it flows.
 */
kind: GlazeKind, 
/**
 * Usual specific gravity of the slurry.
 */
usual_sg: number, 
/**
 * Relative density of the dry materials; none: 2.60.
 */
dry_density?: number, 
/**
 * Share of the dry mass lost on firing, 0–0.4; none: 0.09.
 */
loss_on_ignition?: number, 
/**
 * Oxide analysis in weight percent.
 */
oxides_wt_pct?: Oxides, 
/**
 * Measured viscosities, three or more for a Vogel–Fulcher–Tammann curve.
 */
viscosity_points: Array<ViscosityPoint>, 
/**
 * What is known of its fitness for food surfaces, in the studio's words.
 */
food_note: string, 
/**
 * Anything else.
 */
note: string, 
/**
 * When it was last changed, milliseconds since 1970 UTC; decides which of two copies is newer.
 */
changed_ms: number, };

/**
 * The studio's opinion of how a glaze flows.
 */
export type GlazeKind = "stiff" | "medium" | "fluid" | "not_known";

/**
 * A person who puts glaze on.
 */
export type Hand = { 
/**
 * Identifier.
 */
id: string, 
/**
 * Name or pencil code.
 */
name: string, 
/**
 * Role.
 */
role: Role, 
/**
 * Anything else.
 */
note: string, 
/**
 * See [`Glaze::changed_ms`](super::Glaze::changed_ms).
 */
changed_ms: number, };

/**
 * How much one unknown contributes to the spread of the run.
 */
export type HangsOn = { 
/**
 * What, in words, e.g. "how fluid Honey Drift is".
 */
what: string, 
/**
 * Its share of the variance of the log of the run, 0–1.
 */
share: number, };

/**
 * How a layer went on.
 */
export type How = { "method": "brush", 
/**
 * Number of coats.
 */
coats: number, } | { "method": "dip", 
/**
 * Number of dips.
 */
dips: number, 
/**
 * Seconds in the slurry, each.
 */
seconds: number, } | { "method": "spray", 
/**
 * Number of passes.
 */
passes: number, };

/**
 * One record as it is to be kept.
 */
export type Kept = { 
/**
 * Its list.
 */
list: string, 
/**
 * Its identifier.
 */
id: string, 
/**
 * Its JSON; null: delete it.
 */
json: string | null, };

/**
 * What is known of one glaze or hand.
 */
export type KnownOf = { 
/**
 * Its identifier.
 */
id: string, 
/**
 * A few words.
 */
words: string, 
/**
 * Log entries behind it.
 */
entries: number, };

/**
 * One layer: a glaze, where, how.
 */
export type Layer = { 
/**
 * The glaze.
 */
glaze: string, 
/**
 * Where it lies.
 */
zone: Zone, 
/**
 * How it went on and how much.
 */
how: How, 
/**
 * Specific gravity that day; none: not measured, the glaze's usual one with a wider spread.
 */
sg?: number, 
/**
 * Whose hand, where not the entry's.
 */
hand?: string, };

/**
 * Thickness of one layer at its full stretch.
 */
export type LayerThickness = { 
/**
 * Dry, before firing, µm.
 */
raw_um: Band90, 
/**
 * Fired, before it moves, µm.
 */
fired_um: Band90, };

/**
 * What the log has taught, in words.
 */
export type Learned = { 
/**
 * Per glaze.
 */
glazes: Array<KnownOf>, 
/**
 * Per hand.
 */
hands: Array<KnownOf>, 
/**
 * Entries that look like a blunder.
 */
odd_entries: Array<Odd>, 
/**
 * Whether a weigh-in ties thickness to a scale.
 */
scale_known: boolean, 
/**
 * Log entries that taught something.
 */
entries: number, 
/**
 * Weigh-ins that did.
 */
weigh_ins: number, 
/**
 * How well the log's own entries are foretold, in words; empty with too few.
 */
calibration: string, 
/**
 * What the last change of the log changed in what is known, in sentences; empty for a studio just opened.
 */
changed: Array<string>, 
/**
 * Lines that changed since the whole log was learned from and are counted already.
 */
counted: number, 
/**
 * Such lines that are not counted yet.
 */
waiting: number, };

/**
 * Two stacks compared.
 */
export type Lesson = { 
/**
 * Both stacks.
 */
sides: Array<LessonSide>, 
/**
 * Through the firing.
 */
moments: Array<LessonMoment>, 
/**
 * The second stack's thickness over the first's.
 */
thickness_ratio: number, 
/**
 * The second stack's fluidity over the first's.
 */
fluidity_ratio: number, 
/**
 * The second stack's speed over the first's: thickness ratio squared times fluidity ratio.
 */
speed_ratio: number, 
/**
 * The same in a sentence.
 */
words: string, };

/**
 * One moment of both.
 */
export type LessonMoment = { 
/**
 * Minutes since the first stack's schedule started.
 */
minutes: number, 
/**
 * Temperature, °C.
 */
temperature_c: number, 
/**
 * Whether it goes up.
 */
rising: boolean, 
/**
 * Run of the longest drip of each stack, mm.
 */
run_mm: [number, number], };

/**
 * One stack in numbers, at the medians.
 */
export type LessonSide = { 
/**
 * The entry's identifier.
 */
id: string, 
/**
 * Fired thickness where the layers overlap most, µm.
 */
fired_um: number, 
/**
 * log10 of the fluidity integral of that stack, log10(1/Pa).
 */
log10_phi: number, 
/**
 * How far a front of that thickness goes in the firing if nothing holds it and it does not thin, mm: `k h² Phi`.
 */
free_run_mm: number, 
/**
 * Run of the longest drip at the end, mm.
 */
run_mm: Quantiles, 
/**
 * Bare wall below its lowest line, mm.
 */
bare_below_mm: number, };

/**
 * One thing that was not understood.
 */
export type LineProblem = { 
/**
 * Line of the text, from 1.
 */
line: number, 
/**
 * The column's header; empty for the line as a whole.
 */
column: string, 
/**
 * What is wrong and what to do.
 */
message: Message, };

/**
 * The lists of a studio, for edits and for what was removed.
 */
export type List = "glazes" | "hands" | "bodies" | "firings" | "forms" | "entries" | "weigh_ins" | "photos";

/**
 * Judgement of the top glaze's look against its thickness.
 */
export type Look = "too_little" | "right" | "too_much";

/**
 * Chances of the top glaze's look; they add up to 1.
 */
export type LookChances = { too_little: number, right: number, too_much: number, };

/**
 * Another copy of the studio, merged.
 */
export type MergeDone = { 
/**
 * What changed here.
 */
applied: Applied, 
/**
 * Records that only the other had.
 */
new: number, 
/**
 * Records of which the other had the newer copy.
 */
newer: number, 
/**
 * Records that the other had removed since.
 */
removed: number, 
/**
 * Where the two differed.
 */
conflicts: Array<Conflict>, };

/**
 * The words of a refusal.
 */
export type Message = { 
/**
 * Where; empty for the document as a whole.
 */
place: string, 
/**
 * What is wrong.
 */
problem: string, 
/**
 * What to do.
 */
remedy: string, };

/**
 * A moment of the firing, as the scrubber calls it.
 */
export type MomentName = { 
/**
 * Short, e.g. "1205 °C, rising".
 */
label: string, 
/**
 * Whole, for those who listen.
 */
words: string, };

/**
 * A tile worth glazing.
 */
export type NextTile = { 
/**
 * Layers, the wall first, ready for a plan.
 */
layers: Array<Layer>, 
/**
 * What goes on it, e.g. "3 coats of Honey Drift over 2 coats of Iron Moss".
 */
what: string, 
/**
 * What it would tell most, e.g. "how fluid Honey Drift is".
 */
tells: string, 
/**
 * Share of what is not known of the answer that this tile settles, those before it already glazed, 0–1.
 */
settles: number, 
/**
 * Share that is still open after it and those before it, 0–1.
 */
left: number, 
/**
 * Chance that it can be read: that it moves and stays on the tile, 0–1.
 */
p_readable: number, };

/**
 * An answer: tiles in the order in which they are worth it.
 */
export type NextTiles = { 
/**
 * The question in words.
 */
question: string, 
/**
 * Tiles, the most telling first.
 */
tiles: Array<NextTile>, 
/**
 * What is not known of the answer now, decades of fluidity (sd), over the amounts that are in doubt; only what tiles can tell.
 */
sd_now_decades: number, };

/**
 * An entry that looks like a blunder.
 */
export type Odd = { 
/**
 * Its identifier.
 */
id: string, 
/**
 * Why.
 */
why: string, };

/**
 * A studio that has been opened.
 */
export type Opened = { 
/**
 * The document, JSON.
 */
studio: string, 
/**
 * Its choices, every one.
 */
settings: Settings, 
/**
 * What of it could not be read.
 */
left_out: Array<Message>, };

/**
 * What was read at the opening.
 */
export type Outcome = { 
/**
 * The day it was read.
 */
day?: string, 
/**
 * How far the longest drip ran beyond the edge.
 */
run?: Run, 
/**
 * Which edge the run is read at.
 */
edge: Edge, 
/**
 * The top glaze's look.
 */
look?: Look, 
/**
 * The texture.
 */
texture?: TextureSeen, };

/**
 * Oxides in weight percent; absent means none. Boron, zinc and the like are kept though the composition model
 * does not know them.
 */
export type Oxides = { sio2: number, tio2: number, al2o3: number, fe2o3: number, feo: number, mno: number, mgo: number, cao: number, na2o: number, k2o: number, p2o5: number, h2o: number, f2o: number, b2o3: number, zno: number, li2o: number, bao: number, sro: number, pbo: number, zro2: number, sno2: number, other: number, };

/**
 * Paper for printing.
 */
export type Paper = "a4" | "letter";

/**
 * A photograph, scaled down.
 */
export type Photo = { 
/**
 * Identifier.
 */
id: string, 
/**
 * `image/jpeg`, `image/png` or `image/webp`.
 */
media_type: string, 
/**
 * The image, base64.
 */
data_base64: string, 
/**
 * See [`Glaze::changed_ms`](super::Glaze::changed_ms).
 */
changed_ms: number, };

/**
 * Which pint.
 */
export type Pint = "imperial" | "us";

/**
 * What a prediction says about one plan.
 */
export type PlanOutcome = { 
/**
 * The plan's identifier.
 */
id: string, 
/**
 * Draws it was counted from: few for a first answer.
 */
draws: number, 
/**
 * Per layer, the wall first.
 */
layers: Array<LayerThickness>, 
/**
 * All layers at the lowest glaze line's stack where they overlap most, fired, before it moves, µm.
 */
fired_total_um: Band90, 
/**
 * Longest drip beyond the lowest glaze line, mm along the wall as if it went on.
 */
run_mm: Quantiles, 
/**
 * Chance of more than 1 mm.
 */
p_moves: number, 
/**
 * Chance that the run passes the bare wall below.
 */
p_reaches_foot: number, 
/**
 * Chance that melt stands on the shelf.
 */
p_on_shelf: number, 
/**
 * Verdict at the studio's lines.
 */
verdict: Verdict, 
/**
 * Amplitude of the glazed surface over that of the clay; null without texture.
 */
relief_kept: Band80 | null, 
/**
 * Chance that more than half of the relief is kept; null without texture.
 */
p_relief_over_half: number | null, 
/**
 * Look of the top glaze; null where no look was ever logged for it.
 */
look: LookChances | null, 
/**
 * Most coats of the last layer that still hold at the studio's line; null where even one does not.
 */
most_safe_coats: number | null, 
/**
 * Bare foot to leave so that it holds, mm.
 */
bare_foot_mm: number, 
/**
 * Width of the pool that stands round the foot under the longest drip, mm.
 */
pool_mm: Band90, 
/**
 * Melt that passes the foot all round, g; null where the film was not solved on the piece.
 */
melt_lost_g: Band90 | null, 
/**
 * Fired thickness at the thinnest place of the rim, µm; null where no film was solved there.
 */
rim_thinnest_um: Band90 | null, 
/**
 * Fired thickness of the highest roll at the lower edge of an upper layer, µm; null without one, or where no film was solved.
 */
roll_um: Band90 | null, 
/**
 * Diameter of the cookie to stand it on, mm; null where none is needed.
 */
cookie_mm: number | null, 
/**
 * What the run's spread hangs on, the largest first.
 */
hangs_on: Array<HangsOn>, 
/**
 * One sentence that says what to do.
 */
advice: string, 
/**
 * Runs of twenty draws, mm, for the row of twenty pots.
 */
twenty_runs_mm: Array<number>, 
/**
 * Expected number of drips around the lowest line.
 */
drips: number, 
/**
 * Bare wall below the lowest glaze line, mm.
 */
bare_below_mm: number, 
/**
 * Which model answered.
 */
answered_by: AnsweredBy, 
/**
 * Time taken, ms; zero where no clock is at hand.
 */
predict_ms: number, };

/**
 * One point of a profile.
 */
export type ProfilePoint = { 
/**
 * Distance from the axis.
 */
radius_mm: number, 
/**
 * Height above the shelf.
 */
height_mm: number, };

/**
 * Five quantiles.
 */
export type Quantiles = { p05: number, p10: number, p50: number, p90: number, p95: number, };

/**
 * What a text should be.
 */
export type Quantity = "sg" | "length_mm" | "temperature_c" | "rate_c_per_h" | "minutes" | "seconds" | "grams" | "area_cm2" | "percent" | "plain";

/**
 * A text that was understood.
 */
export type Reading = { 
/**
 * In the document's unit.
 */
value: number, 
/**
 * What it was taken for, e.g. "36 oz in an imperial pint: SG 1.80".
 */
understood: string, };

/**
 * The whole studio as it is to be kept.
 */
export type Records = { 
/**
 * All that is not a record, JSON.
 */
head: string, 
/**
 * Every record in its order.
 */
records: Array<Kept>, };

/**
 * Something that was deleted.
 */
export type Removed = { 
/**
 * From which list.
 */
list: List, 
/**
 * Its identifier.
 */
id: string, 
/**
 * When, milliseconds since 1970 UTC.
 */
at_ms: number, };

/**
 * What a person does in the studio.
 */
export type Role = "student" | "teacher" | "technician" | "other";

/**
 * A run, by ruler or by word.
 */
export type Run = { "by": "ruler", 
/**
 * Longest drip below the edge, mm.
 */
run_mm: number, 
/**
 * Reading error, mm (standard deviation).
 */
error_mm: number, } | { "by": "word", 
/**
 * The word.
 */
word: RunWord, 
/**
 * At least, mm; none: no lower end.
 */
least_mm?: number, 
/**
 * At most, mm; none: no upper end.
 */
most_mm?: number, };

/**
 * Words for a run.
 */
export type RunWord = "did_not_move" | "a_little" | "some" | "a_lot" | "ran_off_the_end" | "reached_the_foot";

/**
 * What a kiln was told to do.
 */
export type Schedule = { "by": "segments", 
/**
 * In order.
 */
segments: Array<Segment>, } | { "by": "cone", 
/**
 * Cone of the end-point chart: "06", "04", "5", "6", "7", "8", "9", "10".
 */
cone: string, 
/**
 * Rate over the last hundred degrees or so, °C/h.
 */
rate_c_per_h: number, };

/**
 * One ramp with its hold.
 */
export type Segment = { 
/**
 * Rate, °C/h, always positive; the target says whether up or down.
 */
rate_c_per_h: number, 
/**
 * Temperature at its end, °C.
 */
target_c: number, 
/**
 * Hold at the target, minutes.
 */
hold_min: number, };

/**
 * Choices of the studio.
 */
export type Settings = { 
/**
 * Units on the page; the document itself is always metric.
 */
units: Units, 
/**
 * Which pint a pint weight is taken with.
 */
pint: Pint, 
/**
 * Modulus of the studio's Baumé hydrometer: 145 or 144.3.
 */
baume_modulus: number, 
/**
 * Up to this chance of reaching the foot the verdict is "holds", 0–1.
 */
holds_up_to: number, 
/**
 * From this chance of reaching the foot the verdict is "will run off", 0–1.
 */
runs_off_from: number, 
/**
 * Share of each coat that collects in the recesses of a texture, 0–0.9.
 */
recess_share: number, 
/**
 * Paper for printing.
 */
paper: Paper, 
/**
 * The firing that plans are made for when they name none.
 */
usual_firing?: string, 
/**
 * The clay body of plans that name none.
 */
usual_body?: string, };

/**
 * The outline of a form: a family with its measures, or points of a profile. All of the outside, mm.
 */
export type Shape = { "family": "jar", 
/**
 * Height.
 */
height_mm: number, 
/**
 * Diameter at the rim.
 */
rim_diameter_mm: number, 
/**
 * Largest diameter.
 */
belly_diameter_mm: number, 
/**
 * Diameter of the foot.
 */
foot_diameter_mm: number, } | { "family": "bowl", 
/**
 * Height.
 */
height_mm: number, 
/**
 * Diameter at the rim.
 */
rim_diameter_mm: number, 
/**
 * Diameter of the foot.
 */
foot_diameter_mm: number, } | { "family": "mug", 
/**
 * Height.
 */
height_mm: number, 
/**
 * Diameter at the rim.
 */
rim_diameter_mm: number, 
/**
 * Diameter of the foot.
 */
foot_diameter_mm: number, } | { "family": "vase", 
/**
 * Height.
 */
height_mm: number, 
/**
 * Diameter at the rim.
 */
rim_diameter_mm: number, 
/**
 * Smallest diameter of the neck.
 */
neck_diameter_mm: number, 
/**
 * Largest diameter.
 */
belly_diameter_mm: number, 
/**
 * Diameter of the foot.
 */
foot_diameter_mm: number, } | { "family": "plate", 
/**
 * Height.
 */
height_mm: number, 
/**
 * Diameter at the rim.
 */
rim_diameter_mm: number, 
/**
 * Diameter of the foot.
 */
foot_diameter_mm: number, } | { "family": "tile", 
/**
 * Width across the slope.
 */
width_mm: number, 
/**
 * Length down the slope.
 */
length_mm: number, 
/**
 * Slope from horizontal, degrees, 90 standing.
 */
slope_deg: number, } | { "family": "points", 
/**
 * Points of the outside, from rim to foot.
 */
points: Array<ProfilePoint>, };

/**
 * A whole studio.
 */
export type Studio = { 
/**
 * Always [`FORMAT`].
 */
format: string, 
/**
 * The document's version, [`VERSION`] when written by this program.
 */
version: number, 
/**
 * Stays with the studio through copies, so that two files of one studio are known as such.
 */
id: string, 
/**
 * What the studio calls itself.
 */
name: string, 
/**
 * True for a demonstration whose people, glazes and pots are invented.
 */
invented: boolean, 
/**
 * Choices of the studio.
 */
settings: Settings, 
/**
 * Glazes in use.
 */
glazes: Array<Glaze>, 
/**
 * People who put glaze on.
 */
hands: Array<Hand>, 
/**
 * Clay bodies, bisque fired.
 */
bodies: Array<Body>, 
/**
 * Firings, planned and done.
 */
firings: Array<Firing>, 
/**
 * Shapes of pots and tiles.
 */
forms: Array<Form>, 
/**
 * Pieces and tiles: plans (no outcome yet) and log entries.
 */
entries: Array<Entry>, 
/**
 * Tiles weighed before and after glazing.
 */
weigh_ins: Array<WeighIn>, 
/**
 * Photographs, referred to by entries.
 */
photos: Array<Photo>, 
/**
 * What was deleted and when, so that merging two files does not bring it back.
 */
removed: Array<Removed>, };

/**
 * A table as it was understood; nothing of it is taken yet.
 */
export type TableRead = { 
/**
 * What separates its cells.
 */
separator: string, 
/**
 * Its columns, each with what it is taken for.
 */
columns: Array<Column>, 
/**
 * Records that are new to the studio.
 */
new: number, 
/**
 * Records that it changes.
 */
changed: number, 
/**
 * Records that stand in the studio just so.
 */
same: number, 
/**
 * What was not understood, line by line.
 */
problems: Array<LineProblem>, 
/**
 * The edit that takes all of it, JSON.
 */
edit: string, };

/**
 * Texture of a wall.
 */
export type Texture = { 
/**
 * What it is.
 */
kind: TextureKind, 
/**
 * Crest to recess, mm.
 */
depth_mm: number, 
/**
 * Crest to crest, mm.
 */
repeat_mm: number, 
/**
 * Where it starts, measured down the wall from the rim or upper edge, mm.
 */
from_mm: number, 
/**
 * Where it ends, likewise.
 */
to_mm: number, };

/**
 * Kinds of texture, by how gravity meets them.
 */
export type TextureKind = "rings" | "upright_flutes" | "pressed";

/**
 * How the texture came out.
 */
export type TextureSeen = "crisp" | "softened" | "buried";

/**
 * Units on the page.
 */
export type Units = "metric" | "imperial";

/**
 * A verdict: a word first.
 */
export type Verdict = "holds" | "may_reach_the_foot" | "will_run_off";

/**
 * One measured viscosity.
 */
export type ViscosityPoint = { 
/**
 * Temperature, °C.
 */
temperature_c: number, 
/**
 * log10 of the viscosity in Pa s.
 */
log10_eta_pa_s: number, };

/**
 * A tile weighed before and after glazing, dry both times.
 */
export type WeighIn = { 
/**
 * Identifier.
 */
id: string, 
/**
 * The day.
 */
day?: string, 
/**
 * Whose hand.
 */
hand: string, 
/**
 * Which glaze.
 */
glaze: string, 
/**
 * How it went on and how much.
 */
how: How, 
/**
 * Glazed area, cm².
 */
area_cm2: number, 
/**
 * Specific gravity that day; none: not measured.
 */
sg?: number, 
/**
 * Grams gained, dry.
 */
gained_g: number, 
/**
 * Resolution of the balance, g (standard deviation of a difference).
 */
error_g: number, 
/**
 * Clay body, for dips; none: the studio's usual one.
 */
body?: string, 
/**
 * Anything else.
 */
note: string, 
/**
 * See [`Glaze::changed_ms`](super::Glaze::changed_ms).
 */
changed_ms: number, };

/**
 * What a weigh-in says.
 */
export type Weighed = { 
/**
 * Dry mass per area of one coat, dip or pass, g/m².
 */
per_unit_g_per_m2: number, 
/**
 * What was weighed over what the book says.
 */
ratio_to_book: number, 
/**
 * The same in sentences.
 */
says: Array<string>, 
/**
 * The weigh-in as a record without an identifier, JSON.
 */
record: string, };

/**
 * What a word means for a run, mm.
 */
export type WordMm = { 
/**
 * At least; null: no lower end.
 */
least_mm: number | null, 
/**
 * At most; null: no upper end.
 */
most_mm: number | null, };

/**
 * A stretch of the outside wall, measured down from the rim or the tile's upper edge, mm along the wall.
 */
export type Zone = { 
/**
 * Upper edge.
 */
from_mm: number, 
/**
 * Lower edge.
 */
to_mm: number, 
/**
 * Whether it goes over the rim (then `from_mm` is 0).
 */
over_rim: boolean, 
/**
 * How far it goes down the inside, mm; only with `over_rim`.
 */
inside_mm: number, };
