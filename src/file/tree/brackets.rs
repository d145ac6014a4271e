//! Which bracket lacks its end, by how the lines are set in.

use super::lex::Cursor;

/// The first bracket, by its place, whose inside has ended by the look of the lines and that is not closed: a line that
/// is set in no deeper than the line that it was opened on, and does not begin by closing it. `None` where the lines
/// are set in so that they tell nothing.
pub(super) fn lacks_its_end(text: &str) -> Option<usize> {
    // Where each open bracket stands, with how far its line is set in.
    let mut open: Vec<(usize, usize)> = Vec::new();
    let mut cursor = Cursor::new(text, 0);
    // Whether nothing has stood on the line yet.
    let mut first = true;
    let mut set_in = 0;
    loop {
        let line_before = cursor.at;
        cursor.skip_blanks().ok()?;
        if let Some(after) = text[line_before..cursor.at].rfind('\n') {
            let begins = line_before + after + 1;
            first = true;
            set_in = cursor.at - begins;
        }
        let at = cursor.at;
        let c = cursor.peek()?;
        let closes = matches!(c, ')' | ']' | '}');
        if first
            && !closes
            && let Some((bracket, line)) = open.last()
            && set_in <= *line
        {
            return Some(*bracket);
        }
        first = first && closes;
        match c {
            '(' | '[' | '{' => {
                cursor.next();
                open.push((at, set_in));
            }
            ')' | ']' | '}' => {
                cursor.next();
                let (bracket, line) = open.pop()?;
                if first && set_in < line {
                    return Some(bracket);
                }
                // Nothing tells whether this one is too many or another is lacking.
                if !matches!((&text[bracket..=bracket], c), ("(", ')') | ("[", ']') | ("{", '}')) {
                    return None;
                }
            }
            '"' => drop(cursor.quoted().ok()?),
            _ => match cursor.raw() {
                Some(raw) => drop(raw.ok()?),
                None => drop(cursor.next()),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bracket_whose_lines_have_ended_lacks_its_end() {
        fn told(text: &str) -> Option<&str> {
            lacks_its_end(text).map(|at| &text[at - 1..])
        }
        let one = "(\n  a: (\n    shape: R(1, 2,\n    edges: [(b: 1)],\n  ),\n)";
        assert!(told(one).unwrap().starts_with("R(1"), "{:?}", told(one));
        let list = "(\n  a: [\n    (b: 1),\n  c: 2,\n)";
        assert!(told(list).unwrap().starts_with(" ["), "{:?}", told(list));
        let outer = "(\n  a: (\n    b: (\n      c: 1,\n  ),\n)";
        assert!(told(outer).unwrap().starts_with(" (\n      c"), "{:?}", told(outer));
        let text = "(\n  a: \"( [\", // (\n  b: (c: [\n    1,\n  ]),\n)\n";
        assert_eq!(told(text), None, "nothing lacks its end");
    }
}
