/* The words to print beside each method. Plain strings: no number of an instrument is in them. */
#include "scale/home_methods.h"

const char *poise_home_method_name(PoiseHomeMethod method)
{
    switch (method) {
    case POISE_HOME_SCALES:
        return "two kitchen scales";
    case POISE_HOME_HANGING:
        return "hanging from each post";
    case POISE_HOME_EDGE:
        return "over a knife edge";
    case POISE_HOME_SLIP:
        break;
    }
    return "when the strap slips";
}

static const char SCALES[] =
    "Two kitchen scales: what it weighs, and where along the strings it balances\n"
    "\n"
    "  1. Put the scales on one level table, about as far apart as the middle of\n"
    "     the body is from the nut, and a narrow support on each (a dowel, a pencil)\n"
    "     that crosses the strings' direction. Pad them. Set both scales to zero.\n"
    "  2. Lay the instrument on its back on the two supports, level, and touching\n"
    "     nothing else. Keep a hand near: it can roll off.\n"
    "  3. Read both scales (F1, F2, in grams). Measure where each support touches,\n"
    "     from the saddle towards the head (x1, x2, in mm).\n"
    "  4. Swap the scales, read again, and take the mean: that also shows how far\n"
    "     the scales disagree.\n"
    "\n"
    "     mass    M = F1 + F2\n"
    "     balance x = (F1 x1 + F2 x2) / M\n"
    "\n"
    "  Error: u(M)^2 = u(F1)^2 + u(F2)^2 and\n"
    "     u(x)^2 = sum of ((xi - x)/M * u(Fi))^2 + (Fi/M * u(xi))^2.\n"
    "  Scales that show 1 g and a rule read to 1 mm give about 1 mm. A load written\n"
    "  without an error counts as rounded to its last digit, a place as good to\n"
    "  1 mm. Do not go over the scales' greatest load.\n";

static const char HANGING[] =
    "Hanging from each post: the balance point on the face\n"
    "\n"
    "  1. Hang the instrument by a cord from one strap post, so that it turns\n"
    "     freely and comes to rest. Hang a weighted thread (a plumb line) from the\n"
    "     same hook, so that it passes in front of the post.\n"
    "  2. Stand square to the face. Mark where the thread passes over the face, as\n"
    "     far from the post as it can be marked, on a piece of tape. Or photograph\n"
    "     it from a few metres away, straight on.\n"
    "  3. Do the same from the other post.\n"
    "  4. Measure both posts and both marks along the strings and across them.\n"
    "\n"
    "     Each thread's line runs from its post through its mark. The balance point\n"
    "     is where the two lines cross: G = P1 + s d1 with\n"
    "     s = ((P2 - P1) x d2) / (d1 x d2), d along each line, x the cross product.\n"
    "     In place of a mark: the neck angle, which is how far the strings' direction\n"
    "     towards the head stands above the horizontal (below it: negative).\n"
    "\n"
    "  Error: a line that is off by u at the crossing moves it by u / sin(angle\n"
    "  between the lines). Marks to 2 mm and lines that cross at 40 degrees give\n"
    "  about 4 mm. Lines that cross at less than 5 degrees are refused.\n"
    "\n"
    "  Caution: a post carries the whole instrument here. See that its screw sits\n"
    "  firmly in solid material, use a cord and a hook that hold several times the\n"
    "  weight, hang it just above a cushion, and keep feet and hands from under it.\n";

static const char EDGE[] =
    "Over a knife edge: the balance point along the strings\n"
    "\n"
    "  1. Clamp a straight narrow edge upright (a thin strip of wood, a steel rule\n"
    "     along a block) and pad it with one layer of tape. No sharp blade.\n"
    "  2. Lay the instrument over it on its back, the edge square to the strings.\n"
    "     Keep a hand on either side.\n"
    "  3. Move the instrument tailwards until it tips to the tail; mark where the\n"
    "     edge stands. Move it headwards until it tips to the head; mark that.\n"
    "     Measure both marks from the saddle towards the head (a, b, in mm). It tips\n"
    "     to the tail when the edge stands headwards of the balance point, so a is\n"
    "     the larger.\n"
    "\n"
    "     balance x = (a + b) / 2\n"
    "\n"
    "  Error: u(x)^2 = ((a - b)/2)^2 / 3 + u(rule)^2: the balance point is equally\n"
    "  likely anywhere between the marks. 4 mm between the marks and a rule read to\n"
    "  1 mm give 1.5 mm. Nothing is learnt about its place across the strings, nor\n"
    "  about the weight.\n";

static const char SLIP[] =
    "When the strap slips: the friction of your strap on your shirt\n"
    "\n"
    "  1. Wear the instrument as you play it, with the strap and the shirt you mean.\n"
    "     Have someone at hand to take a picture from the front.\n"
    "  2. Hold the neck where the strap holds it by itself. Raise (or lower) it\n"
    "     slowly, a few degrees at a time, letting go with the hand kept close\n"
    "     under it each time.\n"
    "  3. Note the neck angle, against the horizontal, at which the strap first\n"
    "     slides. Do it five times; take the mean, and the spread as its error.\n"
    "\n"
    "     friction = |ln(sin A / sin B)| / (pi - A - B)\n"
    "     A, B: angles of the strap's two sides from the vertical, with the shoulder\n"
    "     straight above the balance point (Euler and Eytelwein's law of a belt).\n"
    "\n"
    "  Error: from the errors of the angle, the balance point and the strap's length.\n"
    "  The belt's stretch and the body's own friction are in the result as well.\n"
    "\n"
    "  Caution: an instrument that dives can hit its head on furniture or people.\n"
    "  Stand clear, over a carpet, and never take the hand far away.\n";

const char *poise_home_method_text(PoiseHomeMethod method)
{
    switch (method) {
    case POISE_HOME_SCALES:
        return SCALES;
    case POISE_HOME_HANGING:
        return HANGING;
    case POISE_HOME_EDGE:
        return EDGE;
    case POISE_HOME_SLIP:
        break;
    }
    return SLIP;
}
