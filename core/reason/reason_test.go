package reason

import (
	"reflect"
	"testing"
)

func TestListKeepsOrderAndNames(t *testing.T) {
	var l List
	l.Add("second", "b", "a")
	l.Add("first")
	if got, want := l.Keys(), []string{"second", "first"}; !reflect.DeepEqual(got, want) {
		t.Errorf("Keys() = %q, want %q", got, want)
	}
	r, ok := l.Find("second")
	if !ok || !reflect.DeepEqual(r.On, []string{"b", "a"}) {
		t.Errorf("Find(second) = %v, %v; want its names in the order given", r, ok)
	}
	if r, ok := l.Find("first"); !ok || r.On != nil {
		t.Errorf("Find(first) = %v, %v; want no names", r, ok)
	}
	if r, ok := l.Find("third"); ok {
		t.Errorf("Find(third) = %v, want nothing", r)
	}
}

func TestAddCopiesNames(t *testing.T) {
	names := []string{"a"}
	var l List
	l.Add("key", names...)
	names[0] = "changed"
	if got := l[0].On[0]; got != "a" {
		t.Errorf("the reason changed with its caller's slice: %q", got)
	}
}

func TestEmptyListHasNoKeys(t *testing.T) {
	if got := List(nil).Keys(); got != nil {
		t.Errorf("Keys() = %q, want nil", got)
	}
}
