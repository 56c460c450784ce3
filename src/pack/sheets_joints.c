/* sheets_joints.c - Fasteners: every joint; Sort list: which hardware goes into which bag. */
#include "sheets_private.h"

enum { JOINT_NAME, JOINT_HOLDS, JOINT_THREAD, JOINT_COUNT, JOINT_GRADE, JOINT_HAND, JOINT_SPANNER,
       JOINT_HARDWARE, JOINT_LOCK, JOINT_CONDITION, JOINT_LOW, JOINT_HIGH, JOINT_UNIT, JOINT_SETTING,
       JOINT_CARD, JOINT_SOURCE, JOINT_NOTE };

static const struct sheet_column joint_columns[] = {
    [JOINT_NAME] = {"joint", "sheet.joint", CELL_TEXT, 3},
    [JOINT_HOLDS] = {"holds", "sheet.holds", CELL_TEXT, 3},
    [JOINT_THREAD] = {"thread", "sheet.thread", CELL_TEXT, 1},
    [JOINT_COUNT] = {"count", "sheet.count", CELL_COUNT},
    [JOINT_GRADE] = {"grade", "sheet.grade", CELL_TEXT},
    [JOINT_HAND] = {"hand", "sheet.hand", CELL_TEXT},
    [JOINT_SPANNER] = {"spanner", "sheet.spanner", CELL_TEXT, 2},
    [JOINT_HARDWARE] = {"hardware", "sheet.hardware", CELL_TEXT, 3},
    [JOINT_LOCK] = {"lock", "sheet.lock", CELL_TEXT, 1},
    [JOINT_CONDITION] = {"condition", "sheet.condition", CELL_TEXT, 2},
    [JOINT_LOW] = {"torque-low", "sheet.torque-low", CELL_QUANTITY},
    [JOINT_HIGH] = {"torque-high", "sheet.torque-high", CELL_QUANTITY},
    [JOINT_UNIT] = {"unit", "sheet.unit", CELL_TEXT},
    [JOINT_SETTING] = {"setting", "sheet.setting", CELL_TEXT, 1},
    [JOINT_CARD] = {"card", "sheet.card", CELL_TEXT, 2},
    [JOINT_SOURCE] = {"source", "sheet.source", CELL_TEXT, 2},
    [JOINT_NOTE] = {"note", "sheet.note", CELL_TEXT, 2},
};

static void put_torque(struct packer *packer, struct cell *row, const struct fact *torque)
{
    const struct qty_value *value = &torque->value;

    if (qty_value_has_low(value))
        cell_put_quantity(packer, &row[JOINT_LOW], &value->low);
    if (qty_value_has_high(value))
        cell_put_quantity(packer, &row[JOINT_HIGH], &value->high);
    row[JOINT_UNIT] = row[JOINT_HIGH].unit ? unit_cell(&row[JOINT_HIGH]) : unit_cell(&row[JOINT_LOW]);
    row[JOINT_SOURCE] = cell_text(text_of_origin(packer, torque));
}

static void fill_joint(struct packer *packer, struct cell *row, const struct joint_values *values)
{
    const struct joint *joint = values->joint;
    const char *lock = spec_lock_word(joint->lock.kind);

    row[JOINT_NAME] = cell_text(joint->e.shown);
    row[JOINT_HOLDS] = cell_text(text_of_entries(packer, joint->holds.to, joint->holds.to_count));
    row[JOINT_THREAD] = cell_text(joint->thread.text);
    row[JOINT_COUNT] = cell_count(packer, joint->count.value);
    row[JOINT_GRADE] = cell_text(joint->grade.text);
    row[JOINT_HAND] = cell_text(L(packer, joint->left_hand.value ? "sheet.left" : "sheet.right"));
    row[JOINT_SPANNER] = cell_text(text_of_phrase(packer, values->spanner));
    row[JOINT_HARDWARE] = cell_text(text_of_hardware(packer, joint));
    row[JOINT_LOCK] = cell_text(lock ? label_of(packer, "lock", lock) : NULL);
    row[JOINT_CONDITION] = cell_text(text_of_phrase(packer, values->condition));
    if (values->torque)
        put_torque(packer, row, values->torque);
    row[JOINT_SETTING] = cell_text(values->setting_text);
    row[JOINT_CARD] = card_cell(packer, &joint->e);
    row[JOINT_NOTE] = cell_text(joint->e.note.text);
}

void add_fasteners(struct packer *packer)
{
    struct table *table = sheet_table(packer, "fasteners", joint_columns,
                                      COLUMN_COUNT(joint_columns));

    for (size_t i = 0; i < packer->build->joints.count; i++)
        fill_joint(packer, table_row_new(packer, table), &packer->build->joints.items[i]);
    sheet_add(packer, "fasteners", table);
}

/* ---------- Sort list ---------- */

enum { BAG_ID, BAG_NAME, BAG_NUMBER, BAG_PIECES, BAG_JOINT, BAG_THREAD, BAG_SPANNER, BAG_CARD };

static const struct sheet_column bag_columns[] = {
    [BAG_ID] = {"id", "sheet.id", CELL_TEXT, 2},
    [BAG_NAME] = {"name", "sheet.name", CELL_TEXT, 3},
    [BAG_NUMBER] = {"number", "sheet.number", CELL_TEXT, 2},
    [BAG_PIECES] = {"pieces", "sheet.pieces", CELL_COUNT},
    [BAG_JOINT] = {"joint", "sheet.for-joint", CELL_TEXT, 3},
    [BAG_THREAD] = {"thread", "sheet.thread", CELL_TEXT, 1},
    [BAG_SPANNER] = {"spanner", "sheet.spanner", CELL_TEXT, 2},
    [BAG_CARD] = {"card", "sheet.card", CELL_TEXT, 2},
};

/* The rows of one part: each joint that takes it, in the order of the file. */
static void sort_part(struct packer *packer, struct table *table, const struct part *part)
{
    for (size_t i = 0; i < part->used_by_count; i++) {
        const struct joint *joint = part->used_by[i];
        const struct joint_values *values = build_joint(packer->build, joint);
        int64_t pieces = build_joint_pieces(joint, part);
        if (pieces == 0)
            continue;
        struct cell *row = table_row_new(packer, table);
        row[BAG_ID] = cell_text(part->e.member);
        row[BAG_NAME] = cell_text(part->e.name.text ? part->e.name.text : part->e.id);
        row[BAG_NUMBER] = cell_text(part->number.text);
        row[BAG_PIECES] = cell_count(packer, pieces);
        row[BAG_JOINT] = cell_text(joint->e.shown);
        row[BAG_JOINT].link = "fasteners";
        row[BAG_JOINT].link_row = (size_t)(values - packer->build->joints.items);
        row[BAG_THREAD] = cell_text(joint->thread.text);
        row[BAG_SPANNER] = cell_text(text_of_phrase(packer, values->spanner));
        row[BAG_CARD] = card_cell(packer, &joint->e);
    }
}

void add_sorting(struct packer *packer)
{
    struct table *table = sheet_table(packer, "sorting", bag_columns, COLUMN_COUNT(bag_columns));

    for (size_t i = 0; i < packer->spec->parts.count; i++)
        sort_part(packer, table, packer->spec->parts.items[i]);
    sheet_add(packer, "sorting", table);
}
