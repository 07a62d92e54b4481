package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

const (
	phaseColumns = `p.pathway_id, p.name, p.version, f.id, f.stage, f.kinds, f.planned_s, f.half_kinds, f.half_s`
	phasesFrom   = ` from pathway p join phase f on f.club_id = p.club_id and f.pathway_id = p.pathway_id where p.club_id = $1 and `

	shelfSQL       = `select ` + phaseColumns + phasesFrom + `p.pathway_id = $2 order by f.place`
	newestShelfSQL = `select ` + phaseColumns + phasesFrom + `p.pathway_id = (select max(n.pathway_id) from pathway n where n.club_id = $1)
order by f.place`
	shelvesSQL = `select ` + phaseColumns + phasesFrom + `(p.pathway_id = (select max(n.pathway_id) from pathway n where n.club_id = $1)
  or exists (select from athlete a where a.club_id = $1 and a.pathway_id = p.pathway_id))
order by p.pathway_id, f.place`
)

// phaseRow is one phase with the pathway it belongs to.
type phaseRow struct {
	shelf roster.Shelf
	phase pathway.Phase
}

func readPhase(c *cells) phaseRow {
	return phaseRow{
		roster.Shelf{ID: roster.PathwayID(c.integer()), Name: c.text(), Version: int(c.integer())},
		pathway.Phase{ID: c.text(), Stage: c.text(), Blocks: readPlan(c), Half: readPlan(c)},
	}
}

// readPlan reads blocks as planned: their kinds, then their seconds.
func readPlan(c *cells) []pathway.Block {
	kinds, seconds := c.next(), c.array()
	if len(kinds) == 0 {
		return nil
	}
	if seconds.n != len(kinds) {
		c.fail()
		return nil
	}
	blocks := make([]pathway.Block, len(kinds))
	for i := range blocks {
		blocks[i].Planned = int(seconds.small())
		if kinds[i] == 'r' {
			blocks[i].Kind = pathway.Run
		}
	}
	if seconds.bad {
		c.fail()
	}
	return blocks
}

// planValues are the two columns of blocks as planned; both null without blocks.
func planValues(blocks []pathway.Block) (kinds, seconds any) {
	if len(blocks) == 0 {
		return nil, nil
	}
	letters, planned := make([]byte, len(blocks)), make([]int16, len(blocks))
	for i, b := range blocks {
		planned[i] = narrow(b.Planned)
		if letters[i] = 'w'; b.Kind == pathway.Run {
			letters[i] = 'r'
		}
	}
	return string(letters), planned
}

func (s *Store) shelves(ctx context.Context, club roster.ClubID, sql string, args ...any) (map[roster.PathwayID]*roster.Shelf, error) {
	rows, err := ask(ctx, s, club, readPhase, sql, args...)
	shelves := map[roster.PathwayID]*roster.Shelf{}
	for i := range rows {
		shelf := shelves[rows[i].shelf.ID]
		if shelf == nil {
			shelf = &rows[i].shelf
			shelves[shelf.ID] = shelf
		}
		shelf.Phases = append(shelf.Phases, rows[i].phase)
	}
	return shelves, err
}

func (s *Store) shelf(ctx context.Context, club roster.ClubID, sql string, args ...any) (*roster.Shelf, error) {
	shelves, err := s.shelves(ctx, club, sql, args...)
	if err != nil {
		return nil, err
	}
	for _, shelf := range shelves {
		return shelf, nil
	}
	return nil, notFound()
}

// Shelf is one version of a pathway.
func (s *Store) Shelf(ctx context.Context, club roster.ClubID, id roster.PathwayID) (*roster.Shelf, error) {
	return s.shelf(ctx, club, shelfSQL, club, id)
}

// NewestShelf is the pathway version that newcomers begin on.
func (s *Store) NewestShelf(ctx context.Context, club roster.ClubID) (*roster.Shelf, error) {
	return s.shelf(ctx, club, newestShelfSQL, club)
}

// Shelves are all pathway versions that somebody stands on, and the newest.
func (s *Store) Shelves(ctx context.Context, club roster.ClubID) (map[roster.PathwayID]*roster.Shelf, error) {
	return s.shelves(ctx, club, shelvesSQL, club)
}

const (
	makePathwaySQL = `insert into pathway (club_id, name, version) values ($1, $2::text,
  (select coalesce(max(p.version), 0) + 1 from pathway p where p.club_id = $1 and p.name = $2::text)) returning pathway_id`
	makePhaseSQL = `insert into phase (club_id, pathway_id, place, id, stage, kinds, planned_s, half_kinds, half_s)
values ($1, $2, $3, $4::text, $5, $6::text, $7::smallint[], $8::text, $9::smallint[])`
)

// makePathway stores a new version of the pathway of that name.
func makePathway(ctx context.Context, tx pgx.Tx, club roster.ClubID, name string, p *pathway.Pathway) (roster.PathwayID, error) {
	id, err := row(ctx, tx, readID[roster.PathwayID], makePathwaySQL, club, name)
	if err != nil {
		return 0, err
	}
	b := &pgx.Batch{}
	for i := range p.Phases {
		f := &p.Phases[i]
		kinds, planned := planValues(f.Blocks)
		halfKinds, half := planValues(f.Half)
		b.Queue(makePhaseSQL, club, id, i, f.ID, f.Stage, kinds, planned, halfKinds, half)
	}
	return id, tx.SendBatch(ctx, b).Close()
}
